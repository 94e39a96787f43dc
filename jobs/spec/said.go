package spec

import (
	"encoding/json"
	"fmt"
	"strings"

	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

// said writes a value of a spec, as its JSON has it, in the words and units of the catalogue. What the
// catalogue doesn't name is written as it is; nothing is empty.
func (c *Catalogue) said(path string, v any) string {
	if v == nil {
		return ""
	}
	if inList(path) {
		return c.saidItem(path, v)
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
		return fmt.Sprintf("%+g", value)
	case field == "last.volume", field == "shell.height.inner", field == "shell.height.outer", field == "blade.alignment.shift":
		if l > 0 {
			return "+" + c.Units.Format(l)
		}
		return c.Units.Format(l)
	case field == "blade.alignment.turn":
		return unit.Angle(value).String()
	case field == "blade.hollow", field == "blade.rocker":
		return (&made{catalogue: c}).radius(l)
	case strings.HasPrefix(field, "feet."), field == "shell.height.step", strings.HasPrefix(field, "blade.pitch."):
		return c.Units.Format(l)
	}
	return text
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
func (c *Catalogue) named(field, key string) string {
	name := ""
	switch field {
	case "pattern":
		name = c.Patterns[key].Name
	case "size.system":
		name = message.Say(message.Default, "size."+key, nil)
	case "size.street":
		name = message.Say(message.Default, "spec.label.size.street.yes", nil)
	case "feet.method":
		name = message.Say(message.Default, "spec.method."+key, nil)
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

// saidItem says a thing of a list without its foot and place: "outwards 4 mm over 40 mm".
func (c *Catalogue) saidItem(path string, v any) string {
	switch workOf(path) {
	case LastOpening:
		o := item[Opening](v)
		args := message.Args{"direction": word("direction", string(o.Direction)), "by": c.Units.Format(o.By), "extent": c.Units.Format(o.Extent)}
		key := "spec.said.opening"
		if o.Extent > 0 {
			key += ".over"
		}
		return because(message.Say(message.Default, key, args), o.Remark)
	case ShellFacing:
		cut := item[FacingCut](v)
		key := "spec.said.facing.up"
		if cut.By < 0 {
			key = "spec.said.facing.down"
		}
		return because(message.Say(message.Default, key, message.Args{"by": c.Units.Format(abs(cut.By)), "eyelets": span(cut.From, cut.To)}), cut.Remark)
	case InsidePadding:
		kind := item[Padding](v).Kind
		return or(c.Paddings[kind].Name, kind)
	case FinishEngraving, FinishEmbroidery:
		l := item[Lettering](v)
		if l.Colour != "" {
			return "“" + l.Text + "”, " + l.Colour
		}
		return "“" + l.Text + "”"
	case RemarkWork:
		r := item[Remark](v)
		args := message.Args{"text": r.Text, "operation": r.Operation}
		if r.Operation != "" {
			return message.Say(message.Default, "spec.said.remark.at", args)
		}
		return message.Say(message.Default, "spec.said.remark", args)
	}
	return fmt.Sprint(v)
}

// because is what is said with the remark that belongs to it.
func because(text, remark string) string {
	if remark == "" {
		return text
	}
	return text + " (" + remark + ")"
}

// about says which foot and what a thing of a list is about, before or after.
func about(path string, from, to any) (Foot, string) {
	v := to
	if v == nil {
		v = from
	}
	switch work := workOf(path); work {
	case LastOpening:
		o := item[Opening](v)
		return o.Foot, word("place", string(o.Place))
	case ShellFacing:
		cut := item[FacingCut](v)
		return cut.Foot, message.Say(message.Default, "spec.label.shell.facing."+string(cut.Side), nil)
	case InsidePadding:
		p := item[Padding](v)
		return p.Foot, word("place", string(p.Place))
	case FinishEngraving, FinishEmbroidery:
		l := item[Lettering](v)
		return l.Foot, message.Say(message.Default, "work."+string(work), nil)
	case RemarkWork:
		return item[Remark](v).Foot, message.Say(message.Default, "spec.said.about.remark", nil)
	}
	return "", ""
}
