package main

import (
	"reflect"
	"regexp"
	"slices"
	"strings"
)

// The library speaks of a command line in its own way; these are the sentences
// it has, and ours for them. Where ours lack what to do, the help is named.
var usageSentences = [...]struct {
	library  *regexp.Regexp
	what, do string
}{
	{regexp.MustCompile(`^unexpected argument (\S+), did you mean "(\S+)"\?$`), "there is no command $1", "did you mean $2?"},
	{regexp.MustCompile(`^unknown flag (\S+), did you mean "(\S+)"\?$`), "there is no flag $1", "did you mean $2?"},
	{regexp.MustCompile(`^unknown flag ([^\s,]+).*$`), "there is no flag $1", ""},
	{regexp.MustCompile(`^expected one of .*$`), "the command is missing", ""},
	{regexp.MustCompile(`^expected "<job>.*$`), "the job file is missing", "name it after the command; - reads standard input"},
	{regexp.MustCompile(`^expected "<old>.*$`), "the jobs to compare are missing", "name the earlier and the later one: soundwrit compare HEAD:seam.yaml seam.yaml"},
	{regexp.MustCompile(`^expected "<new>.*$`), "the later job is missing", "name it after the earlier one; - reads standard input"},
	{regexp.MustCompile(`^expected "<lock>.*$`), "the approval is missing", "name the file that approve wrote, such as seam.approval, and after it the documents"},
	{regexp.MustCompile(`^expected "<welds>.*$`), "the list of welds is missing", "name a CSV file after the job, with a head such as number,diameter,thickness"},
	{regexp.MustCompile(`^missing flags: (--\w+)\S*.*$`), "$1 is missing", ""},
	{regexp.MustCompile(`^(--\S+) must be one of "([^"]+)","([^"]+)" but got "(.*)"$`), "$1 cannot be $4", "write $1 $2 or $1 $3"},
	{regexp.MustCompile(`^(--\S+) must be one of "([^"]+)","([^"]+)","([^"]+)" but got "(.*)"$`), "$1 cannot be $5", "write $1 $2, $1 $3 or $1 $4"},
	{regexp.MustCompile(`^(--\S+): expected \S+ value but got "(-\d[^"]*)".*$`), "$1 lacks its value", "write $1=$2, since the value begins with a minus"},
	{regexp.MustCompile(`^(--\S+): expected \S+ value but got .*$`), "$1 lacks its value", ""},
}

// verbNames lists the verbs as they are typed.
func verbNames() []string {
	var names []string
	for f := range reflect.TypeFor[verbs]().Fields() {
		if _, isVerb := f.Tag.Lookup("cmd"); isVerb {
			names = append(names, strings.ToLower(f.Name))
		}
	}
	return names
}

// misuse is a command line that the parser refuses, put in words.
func misuse(err error, args []string) error {
	hint := "soundwrit --help lists the commands"
	known := len(args) > 0 && slices.Contains(verbNames(), args[0])
	if known {
		hint = "soundwrit " + args[0] + " --help lists what it takes"
	}
	text := err.Error()
	for _, s := range usageSentences {
		if m := s.library.FindStringSubmatchIndex(text); m != nil {
			expand := func(template string) string { return string(s.library.ExpandString(nil, template, text, m)) }
			do := hint
			if s.do != "" {
				do = expand(s.do)
			}
			return &refusal{expand(s.what), do}
		}
	}
	if word, ok := strings.CutPrefix(text, "unexpected argument "); ok {
		if known {
			return &refusal{word + " is one argument too many", hint}
		}
		return &refusal{"there is no command " + word, hint}
	}
	return &refusal{text, hint}
}
