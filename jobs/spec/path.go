package spec

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

// specField is what the fields of a spec are whose paths begin alike.
type specField struct {
	path  string // the beginning
	work  Work   // it belongs to; empty for what touches several
	usual bool   // a field that says nothing means the pattern's own
	bare  bool   // a length: sheets of before said some without their unit

	// say is one of them, without its foot, as a sentence says it.
	say func(c *Catalogue, field string, v any) any
	// about says which foot a thing of a list is of, and what it is about.
	about func(v any) (Foot, any)
}

// specFields are all of them, in the order of the benches.
var specFields = []specField{
	{path: "pattern", say: byName(func(c *Catalogue, key string) string { return c.Patterns[key].Name })},
	{path: "size", say: sayOfSize},
	{path: "feet", say: sayOfFoot},
	{path: "last.openings", work: LastOpening, say: sayOpening, about: func(v any) (Foot, any) { o := item[Opening](v); return o.Foot, word("place", o.Place) }},
	{path: "last.volume", work: LastVolume, bare: true, say: sayChange},
	{path: "shell.stiffness", work: ShellStiffness, usual: true, say: sayGrade},
	{path: "shell.height", work: ShellHeight, bare: true, say: sayHeight},
	{path: "shell.toe_box", work: ShellToeBox, usual: true, say: byName(func(c *Catalogue, key string) string { return c.ToeBoxes[key].Name })},
	{path: "shell.facing", work: ShellFacing, say: sayCut, about: func(v any) (Foot, any) {
		cut := item[FacingCut](v)
		return cut.Foot, word("label.shell.facing", cut.Side)
	}},
	{path: "inside.padding", work: InsidePadding, say: sayPad, about: func(v any) (Foot, any) { p := item[Padding](v); return p.Foot, word("place", p.Place) }},
	{path: "inside.foam", work: InsideFoam, say: byName(func(c *Catalogue, key string) string { return c.Foams[key].Name })},
	{path: "inside.liner", work: InsideLiner, usual: true, say: byName(func(c *Catalogue, key string) string { return c.Liners[key].Name })},
	{path: "inside.tongue", work: InsideTongue, usual: true, say: byName(func(c *Catalogue, key string) string { return c.Tongues[key].Name })},
	{path: "blade.holder", work: BladeHolder, usual: true, say: byName(func(c *Catalogue, key string) string { return c.Holders[key].Name })},
	{path: "blade.alignment", work: BladeHolder, say: sayAlignment},
	{path: "blade.runner", work: BladeRunner, usual: true, say: byName(func(c *Catalogue, key string) string { return c.Runners[key].Name })},
	{path: "blade.hollow", work: BladeHollow, usual: true, bare: true, say: sayRadius},
	{path: "blade.rocker", work: BladeRocker, usual: true, bare: true, say: sayRadius},
	{path: "blade.pitch", work: BladePitch, bare: true, say: sayLength},
	{path: "finish.engraving", work: FinishEngraving, say: sayLetters, about: aboutLetters(FinishEngraving)},
	{path: "finish.embroidery", work: FinishEmbroidery, say: sayLetters, about: aboutLetters(FinishEmbroidery)},
	{path: "finish.lacing", work: FinishLacing, usual: true, say: byName(func(c *Catalogue, key string) string { return c.Laces[key].Name })},
	{path: "remarks", work: RemarkWork, say: sayRemark, about: func(v any) (Foot, any) {
		return item[Remark](v).Foot, message.Phrase{Key: "spec.said.about.remark"}
	}},
}

// placeOf is where the field of a path stands in specFields, -1 for one that is not among them.
func placeOf(path string) int {
	return slices.IndexFunc(specFields, func(f specField) bool { return strings.HasPrefix(path, f.path) })
}

func fieldAt(path string) specField {
	if i := placeOf(path); i >= 0 {
		return specFields[i]
	}
	return specField{}
}

// value is a value of a spec, as its JSON has it, as a sentence says it; nil for nothing.
func (f specField) value(c *Catalogue, path string, v any) any {
	switch {
	case v == nil:
		return nil
	case f.say == nil:
		return fmt.Sprint(v)
	}
	return f.say(c, withoutFoot(path), v)
}

// withoutFoot is a path without the foot that it names.
func withoutFoot(path string) string {
	for _, f := range Feet {
		path = strings.Replace(path+".", "."+string(f)+".", ".", 1)
		path = strings.TrimSuffix(path, ".")
	}
	return path
}

// byName says a key by the catalogue's name of it; what the catalogue doesn't name is its key.
func byName(name func(c *Catalogue, key string) string) func(*Catalogue, string, any) any {
	return func(c *Catalogue, _ string, v any) any {
		key := fmt.Sprint(v)
		return or(name(c, key), key)
	}
}

// number is a number of a spec's JSON.
func number(v any) float64 {
	n, _ := v.(json.Number)
	value, _ := n.Float64() // what was read from a file is finite
	return value
}

func sayLength(c *Catalogue, _ string, v any) any { return c.Units.Value(unit.Length(number(v))) }

func sayChange(c *Catalogue, _ string, v any) any {
	return withSign(c.Units.Value(unit.Length(number(v))))
}

func sayGrade(_ *Catalogue, _ string, v any) any {
	return message.Quantity{Value: number(v), Signed: true}
}

func sayRadius(c *Catalogue, _ string, v any) any {
	return (&made{catalogue: c}).radius(unit.Length(number(v)))
}

func sayOfSize(_ *Catalogue, field string, v any) any {
	switch field {
	case "size.system":
		return message.Phrase{Key: "size." + fmt.Sprint(v)}
	case "size.street":
		return message.Phrase{Key: "spec.label.size.street.yes"}
	}
	return message.Quantity{Value: number(v)}
}

func sayOfFoot(c *Catalogue, field string, v any) any {
	if field == "feet.method" {
		return word("method", fmt.Sprint(v))
	}
	return sayLength(c, field, v)
}

// sayHeight: a step counts from the workshop's base, a side from the back.
func sayHeight(c *Catalogue, field string, v any) any {
	if field == "shell.height.step" {
		return sayLength(c, field, v)
	}
	return sayChange(c, field, v)
}

func sayAlignment(c *Catalogue, field string, v any) any {
	if field == "blade.alignment.turn" {
		return angle(unit.Angle(number(v)))
	}
	return sayChange(c, field, v)
}

// item reads a thing of a list back from its JSON.
func item[T any](v any) (one T) {
	raw, err := json.Marshal(v)
	if err == nil {
		err = json.Unmarshal(raw, &one)
	}
	if err != nil { // it was marshalled from a T
		var none T
		return none
	}
	return one
}

// sayOpening, and what follows, say a thing of a list without its foot and place: "outwards 4 mm over 40 mm".
func sayOpening(c *Catalogue, _ string, v any) any {
	o := item[Opening](v)
	one := message.Phrase{Key: "spec.said.opening", Args: message.Args{"direction": word("direction", o.Direction), "by": c.Units.Value(o.By)}}
	if o.Extent > 0 {
		one.Key, one.Args["extent"] = "spec.said.opening.over", c.Units.Value(o.Extent)
	}
	return because(one, o.Remark)
}

func sayCut(c *Catalogue, _ string, v any) any {
	cut := item[FacingCut](v)
	key := "spec.said.facing.up"
	if cut.By < 0 {
		key = "spec.said.facing.down"
	}
	return because(message.Phrase{Key: key, Args: message.Args{"by": c.Units.Value(abs(cut.By)), "eyelets": eyeletRange(cut.From, cut.To)}}, cut.Remark)
}

func sayPad(c *Catalogue, _ string, v any) any {
	kind := item[Padding](v).Kind
	return or(c.Paddings[kind].Name, kind)
}

func sayLetters(_ *Catalogue, _ string, v any) any {
	l := item[Lettering](v)
	if l.Colour != "" {
		return message.Phrase{Key: "spec.said.lettering.colour", Args: message.Args{"text": l.Text, "colour": l.Colour}}
	}
	return message.Phrase{Key: "quoted", Args: message.Args{"text": l.Text}}
}

func aboutLetters(work Work) func(any) (Foot, any) {
	return func(v any) (Foot, any) { return item[Lettering](v).Foot, message.Phrase{Key: "work." + string(work)} }
}

func sayRemark(_ *Catalogue, _ string, v any) any {
	r := item[Remark](v)
	if r.Operation != "" {
		return message.Phrase{Key: "spec.said.remark.at", Args: message.Args{"text": r.Text, "operation": r.Operation}}
	}
	return message.Phrase{Key: "spec.said.remark", Args: message.Args{"text": r.Text}}
}
