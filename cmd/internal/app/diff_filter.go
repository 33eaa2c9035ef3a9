package app

import (
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"stackbook/cmd/internal/act"
	"stackbook/diff"
	"stackbook/record/figure"
	"stackbook/schema"
)

// filterFlags choose what of a difference is shown.
var filterFlags = []cli.Flag{
	&cli.StringSliceFlag{Name: "only", Usage: "only this `KIND` of difference; again for more"},
	&cli.StringFlag{Name: "topic", Usage: "a `TOPIC`: section of the spec or of figures"},
	&cli.StringFlag{Name: "at", Usage: "only at this `POSITION` and within it"},
}

func filterOf(c *cli.Context) (diff.Filter, error) {
	f := diff.Filter{Kinds: c.StringSlice("only"), Topic: c.String("topic"), At: c.String("at")}
	for _, name := range []string{"topic", "at"} { // a script's unset variable would pass for no filter
		if c.IsSet(name) && c.String(name) == "" {
			return f, &act.UsageError{Message: "--" + name + " is empty", Mend: "leave it out, or write what is meant"}
		}
	}
	for _, k := range f.Kinds {
		if !slices.Contains(diff.Kinds, k) {
			return f, unknown("kind of difference", k, diff.Kinds, "--only takes "+strings.Join(diff.Kinds, ", "))
		}
	}
	if err := topicKnown(f); err != nil {
		return f, err
	}
	if f.At == "" {
		return f, nil
	}
	if !slices.ContainsFunc(diff.Kinds, func(k string) bool { return k != diff.Records && f.Wants(k) }) {
		return f, &act.UsageError{Message: "--only " + diff.Records + " has nothing at a position: sessions and changes are of an engine", Mend: "leave --at out, or add --only " + diff.Readings}
	}
	return f, positionKnown(f.At, 0)
}

// topicKnown refuses a topic that nothing asked for has.
func topicKnown(f diff.Filter) error {
	if f.Topic == "" {
		return nil
	}
	topics, ofWhat := knownTopics(f), "topic"
	if len(topics) == 0 {
		return &act.UsageError{Message: fmt.Sprintf("--topic chooses from spec and figures, and --only takes %s alone", strings.Join(f.Kinds, ", ")),
			Mend: "leave --topic out, or add --only " + diff.Spec + " or --only " + diff.Figures}
	}
	if len(f.Kinds) > 0 && slices.Contains(knownTopics(diff.Filter{}), f.Topic) {
		ofWhat = "topic of " + strings.Join(f.Kinds, " and ")
	}
	if !slices.Contains(topics, f.Topic) {
		return unknown(ofWhat, f.Topic, topics, "--topic takes "+strings.Join(topics, ", "))
	}
	return nil
}

// positionKnown refuses what is no position in an engine of that many rotors; 0 is
// any number of them.
func positionKnown(position string, rotors int) error {
	if err := schema.CheckPosition(position, rotors); err != nil {
		return &act.UsageError{Message: err.Error(), Mend: schema.PositionMend(position, rotors)}
	}
	return nil
}

// someHas refuses a position that none of the engines has.
func someHas(position string, states []*act.Loaded) error {
	most := 0
	for _, l := range states {
		if l.Engine.Rotors == 0 {
			return nil // nobody counted them
		}
		most = max(most, l.Engine.Rotors)
	}
	if position == "" {
		return nil
	}
	return positionKnown(position, most)
}

// knownTopics are the sections of a spec and the topics of figures, as far as a
// filter wants these kinds.
func knownTopics(f diff.Filter) []string {
	var topics []string
	for i := range schema.Spec().Fields {
		if s := &schema.Spec().Fields[i]; f.Wants(diff.Spec) && s.Type == schema.Group {
			topics = append(topics, s.Key)
		}
	}
	for _, g := range figure.All() {
		if f.Wants(diff.Figures) && !slices.Contains(topics, g.Topic) {
			topics = append(topics, g.Topic)
		}
	}
	return topics
}
