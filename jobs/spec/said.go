package spec

import (
	"encoding/json"
	"fmt"
	"strings"

	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

// value is a value of a spec, as its JSON has it, as a sentence says it in the units of the catalogue; nil
// for nothing. What the catalogue doesn't name is its key.
func (c *Catalogue) value(path string, v any) any {
	if v == nil {
		return nil
	}
	if inList(path) {
		return c.itemValue(path, v)
	}
	text := fmt.Sprint(v)
	number, ok := v.(json.Number)
	if !ok {
		return c.named(withoutFoot(path), text)
	}
	value, err := number.Float64()
	if err != nil {
		return text
	}
	l := unit.Length(value)
	switch field := withoutFoot(path); {
	case field == "shell.stiffness":
		return message.Quantity{Value: value, Signed: true}
	case field == "last.volume", field == "shell.height.inner", field == "shell.height.outer", field == "blade.alignment.shift":
		return withSign(c.Units.Value(l))
	case field == "blade.alignment.turn":
		return angle(unit.Angle(value))
	case field == "blade.hollow", field == "blade.rocker":
		return (&made{catalogue: c}).radius(l)
	case strings.HasPrefix(field, "feet."), field == "shell.height.step", strings.HasPrefix(field, "blade.pitch."):
		return c.Units.Value(l)
	}
	return message.Quantity{Value: value}
}

// withoutFoot is a path without the foot that it names.
func withoutFoot(path string) string {
	for _, f := range Feet {
		path = strings.Replace(path+".", "."+string(f)+".", ".", 1)
		path = strings.TrimSuffix(path, ".")
	}
	return path
}

// named is the name of a key.
func (c *Catalogue) named(field, key string) any {
	name := ""
	switch field {
	case "pattern":
		name = c.Patterns[key].Name
	case "size.system":
		return message.Phrase{Key: "size." + key}
	case "size.street":
		return message.Phrase{Key: "spec.label.size.street.yes"}
	case "feet.method":
		return word("method", key)
	case "shell.toe_box":
		name = c.ToeBoxes[key].Name
	case "inside.foam":
		name = c.Foams[key].Name
	case "inside.liner":
		name = c.Liners[key].Name
	case "inside.tongue":
		name = c.Tongues[key].Name
	case "blade.holder":
		name = c.Holders[key].Name
	case "blade.runner":
		name = c.Runners[key].Name
	case "finish.lacing":
		name = c.Laces[key].Name
	}
	return or(name, key)
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

// itemValue is a thing of a list without its foot and place: "outwards 4 mm over 40 mm".
func (c *Catalogue) itemValue(path string, v any) any {
	switch workOf(path) {
	case LastOpening:
		o := item[Opening](v)
		one := message.Phrase{Key: "spec.said.opening", Args: message.Args{"direction": word("direction", o.Direction), "by": c.Units.Value(o.By)}}
		if o.Extent > 0 {
			one.Key, one.Args["extent"] = "spec.said.opening.over", c.Units.Value(o.Extent)
		}
		return because(one, o.Remark)
	case ShellFacing:
		cut := item[FacingCut](v)
		key := "spec.said.facing.up"
		if cut.By < 0 {
			key = "spec.said.facing.down"
		}
		return because(message.Phrase{Key: key, Args: message.Args{"by": c.Units.Value(abs(cut.By)), "eyelets": span(cut.From, cut.To)}}, cut.Remark)
	case InsidePadding:
		kind := item[Padding](v).Kind
		return or(c.Paddings[kind].Name, kind)
	case FinishEngraving, FinishEmbroidery:
		l := item[Lettering](v)
		if l.Colour != "" {
			return message.Phrase{Key: "spec.said.lettering.colour", Args: message.Args{"text": l.Text, "colour": l.Colour}}
		}
		return message.Phrase{Key: "quoted", Args: message.Args{"text": l.Text}}
	case RemarkWork:
		r := item[Remark](v)
		if r.Operation != "" {
			return message.Phrase{Key: "spec.said.remark.at", Args: message.Args{"text": r.Text, "operation": r.Operation}}
		}
		return message.Phrase{Key: "spec.said.remark", Args: message.Args{"text": r.Text}}
	}
	return fmt.Sprint(v)
}

// about says which foot and what a thing of a list is about, before or after.
func about(path string, from, to any) (Foot, any) {
	v := to
	if v == nil {
		v = from
	}
	switch work := workOf(path); work {
	case LastOpening:
		o := item[Opening](v)
		return o.Foot, word("place", o.Place)
	case ShellFacing:
		cut := item[FacingCut](v)
		return cut.Foot, word("label.shell.facing", cut.Side)
	case InsidePadding:
		p := item[Padding](v)
		return p.Foot, word("place", p.Place)
	case FinishEngraving, FinishEmbroidery:
		l := item[Lettering](v)
		return l.Foot, message.Phrase{Key: "work." + string(work)}
	case RemarkWork:
		return item[Remark](v).Foot, message.Phrase{Key: "spec.said.about.remark"}
	}
	return "", nil
}
