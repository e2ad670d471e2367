package diag

import (
	"bytes"
	"encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v5"
)

// The judge is the standard's own schema, which lies in testdata/published.
func sarifSchema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	text, err := os.ReadFile("../../testdata/published/sarif-2.1.0.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("sarif", bytes.NewReader(text)); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("sarif")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func sarifOf(t *testing.T, findings []Finding) (text string, value map[string]any) {
	t.Helper()
	var b bytes.Buffer
	if err := SARIF(&b, "0.1.0", findings); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(b.Bytes(), &value); err != nil {
		t.Fatal(err)
	}
	return b.String(), value
}

func TestSARIFAgainstItsSchema(t *testing.T) {
	schema := sarifSchema(t)
	for name, findings := range map[string][]Finding{"none": nil, "of every kind": sample()} {
		text, value := sarifOf(t, findings)
		if err := schema.Validate(value); err != nil {
			t.Errorf("%s: %#v", name, err)
		}
		// The schema is a judge only if it refuses something.
		if err := schema.Validate(damaged(t, text)); err == nil {
			t.Errorf("%s: the schema accepts a log of another version", name)
		}
	}
}

func damaged(t *testing.T, text string) (value any) {
	t.Helper()
	if err := json.Unmarshal([]byte(strings.Replace(text, `"2.1.0"`, `"2.2.0"`, 1)), &value); err != nil {
		t.Fatal(err)
	}
	return value
}

// What the schema leaves to the text of the standard: rules by index, lines
// from 1, files relative, and what is suppressed and why.
func TestSARIFSaysWhatTheFindingsSay(t *testing.T) {
	var log struct {
		Runs []struct {
			Tool struct {
				Driver struct{ Rules []struct{ ID string } }
			}
			Results []struct {
				RuleID       string
				RuleIndex    int
				Level        string
				Message      struct{ Text string }
				Suppressions []struct{ Kind, Status, Justification string }
				Locations    []struct {
					PhysicalLocation struct {
						ArtifactLocation struct{ URI string }
						Region           *struct{ StartLine, StartColumn int }
					}
				}
			}
		}
	}
	text, _ := sarifOf(t, sample())
	if err := json.Unmarshal([]byte(text), &log); err != nil {
		t.Fatal(err)
	}
	results := log.Runs[0].Results
	levels := []string{"error", "error", "error", "warning", "note"} // of sample, by hand
	if len(results) != len(levels) {
		t.Fatalf("%d results, want %d", len(results), len(levels))
	}
	for i, r := range results {
		if got := log.Runs[0].Tool.Driver.Rules[r.RuleIndex].ID; got != r.RuleID {
			t.Errorf("result %d: rule %q by index, %q by name", i, got, r.RuleID)
		}
		if r.Level != levels[i] {
			t.Errorf("result %d: level %q, want %q", i, r.Level, levels[i])
		}
		place := r.Locations[0].PhysicalLocation
		if place.ArtifactLocation.URI != "plate.yaml" {
			t.Errorf("result %d: file %q", i, place.ArtifactLocation.URI)
		}
		if region := place.Region; i == 4 && region != nil || i < 4 && (region == nil || region.StartLine < 1 || region.StartColumn < 1) {
			t.Errorf("result %d: region %+v", i, region)
		}
		if suppressed := len(r.Suppressions) == 1 && r.Suppressions[0].Justification == "by the client, 2026-01-02"; suppressed != (i == 2) {
			t.Errorf("result %d: suppressions %+v", i, r.Suppressions)
		}
	}
	for _, part := range []string{"scan lines are too far apart", "2 mm", "at most 1 mm", "House 1:2020, 7.3 (from memory", "set it to 1 mm or less"} {
		if !strings.Contains(results[1].Message.Text, part) {
			t.Errorf("%q lacks %q", results[1].Message.Text, part)
		}
	}
}

// Expected by RFC 3986: characters a URI cannot hold are encoded, a reference
// has no scheme unless the file name begins at the root of a disk.
func TestFileURI(t *testing.T) {
	for file, want := range map[string]string{
		"job.yaml": "job.yaml", "./jobs/job.yaml": "jobs/job.yaml", `jobs\weld 1.yaml`: "jobs/weld%201.yaml", "a#b?.yaml": "a%23b%3F.yaml",
		"/jobs/job.yaml": "file:///jobs/job.yaml", `D:\jobs\job.yaml`: "file:///D:/jobs/job.yaml", "weld:3.yaml": "./weld:3.yaml",
	} {
		if got := fileURI(file); got != want {
			t.Errorf("%s: %s, want %s", file, got, want)
		}
	}
}
