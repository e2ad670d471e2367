package main

import "soundwrit/schema"

type schemaVerb struct{}

// Run prints the schema that check uses, so that an editor can complete and
// check a job with it.
func (schemaVerb) Run(s *streams) error {
	if _, err := s.out.Write(schema.JSON()); err != nil {
		return &saveError{path: "standard output", err: err}
	}
	return nil
}
