package spec

import (
	"strings"
	"sync"

	"lastroom/jobs/message"
)

// Column is one column of an order file in CSV.
type Column struct {
	Name     string
	Path     string // of the field of the order that it fills
	Required bool
	Meaning  string // key of the sentence that describes it
	put      func(*row, string) *message.Fault
}

// row is an order under construction from one line.
type row struct {
	tree  map[string]any
	where map[string]string // path of a field → column
	cells map[string]string // column → text, blanks left out
}

// set puts a value at a path such as spec.size.value, making the objects on the way.
func (r *row) set(column, path string, v any) {
	at := r.tree
	parts := strings.Split(path, ".")
	for _, part := range parts[:len(parts)-1] {
		next, ok := at[part].(map[string]any)
		if !ok {
			next = map[string]any{}
			at[part] = next
		}
		at = next
	}
	at[parts[len(parts)-1]] = v
	r.where[path] = column
}

// add appends an object to the list at a path and notes which column each of its fields came from.
func (r *row) add(column, path string, v map[string]any) {
	parent, name := r.tree, path
	for {
		part, rest, more := strings.Cut(name, ".")
		if !more {
			break
		}
		next, ok := parent[part].(map[string]any)
		if !ok {
			next = map[string]any{}
			parent[part] = next
		}
		parent, name = next, rest
	}
	list, _ := parent[name].([]any)
	parent[name] = append(list, any(v))
	r.where[itemPath(path, len(list))] = column
}

// column finds the column that a path came from: its own or that of the object around it.
func (r *row) column(path string) string {
	for p := path; p != ""; {
		if c, ok := r.where[p]; ok {
			return c
		}
		cut := strings.LastIndexByte(p, '.')
		if cut < 0 {
			break
		}
		p = p[:cut]
	}
	return ""
}

// Columns are all columns that a CSV file may have, in the order of the benches. A value for both feet
// stands in the column without a foot, one for a foot in that foot's column. A file needs only the
// required ones and may have the others in any order.
var Columns = sync.OnceValue(func() []Column {
	var all []Column
	single := func(name, path string, required bool) {
		all = append(all, Column{Name: name, Path: path, Required: required, Meaning: "spec.column." + name, put: func(r *row, text string) *message.Fault {
			r.set(name, path, text)
			return nil
		}})
	}
	pair := func(name, path, field string) {
		for _, foot := range []Foot{Both, Left, Right} {
			column, full := name, path+"."+string(foot)
			if foot != Both {
				column += "_" + string(foot)
			}
			if field != "" {
				full += "." + field
			}
			all = append(all, Column{Name: column, Path: full, Meaning: "spec.column." + name, put: func(r *row, text string) *message.Fault {
				r.set(column, full, text)
				return nil
			}})
		}
	}
	eachFoot := func(name, path string, put func(column string, foot Foot, r *row, text string) *message.Fault) {
		for _, foot := range Feet {
			column := strings.Replace(name, "FOOT", string(foot), 1)
			all = append(all, Column{Name: column, Path: path, Meaning: "spec.column." + strings.SplitN(name, "_", 2)[0], put: func(r *row, text string) *message.Fault {
				return put(column, foot, r, text)
			}})
		}
	}

	single("reference", "reference", false)
	single("name", "customer.name", true)
	single("phone", "customer.phone", false)
	single("email", "customer.email", false)
	single("address", "customer.address", false)
	single("wanted_by", "wanted_by", false)
	single("pattern", "spec.pattern", true)
	single("repeats", "spec.repeats", false)
	single("size_system", "spec.size.system", true)
	single("size", "spec.size.value", true)
	single("size_street", "spec.size.street", false)
	for _, field := range []string{
		"method", "length", "ball_breadth", "ball_girth", "instep_girth", "heel_girth", "heel_raised", "ankle_girth", "inner_ankle", "outer_ankle",
	} {
		pair(field, "spec.feet", field)
	}
	pair("volume", "spec.last.volume", "")
	for _, place := range Places {
		eachFoot("opening_FOOT_"+string(place), "spec.last.openings", func(column string, foot Foot, r *row, text string) *message.Fault {
			depth, extent, wide := strings.Cut(text, " over ")
			direction := Outwards
			if depth = strings.TrimSpace(depth); strings.HasPrefix(depth, "-") || strings.HasPrefix(depth, "−") {
				direction = Inwards
				depth = strings.TrimLeft(depth, "-−")
			}
			v := map[string]any{"foot": string(foot), "place": string(place), "direction": string(direction), "by": depth}
			if wide {
				v["extent"] = extent
			}
			r.add(column, "spec.last.openings", v)
			return nil
		})
	}
	pair("stiffness", "spec.shell.stiffness", "")
	pair("height", "spec.shell.height", "step")
	pair("height_inner", "spec.shell.height", "inner")
	pair("height_outer", "spec.shell.height", "outer")
	pair("toe_box", "spec.shell.toe_box", "")
	for _, side := range []Side{Inner, Outer} {
		eachFoot("facing_FOOT_"+string(side), "spec.shell.facing", func(column string, foot Foot, r *row, text string) *message.Fault {
			by, eyelets, ok := strings.Cut(text, " on ")
			from, to, ok2 := strings.Cut(eyelets, "-")
			if !ok || !ok2 {
				return fault("", "spec.csv.facing", message.Args{"found": quote(text)})
			}
			r.add(column, "spec.shell.facing", map[string]any{
				"foot": string(foot), "side": string(side), "by": by, "from": strings.TrimSpace(from), "to": strings.TrimSpace(to),
			})
			return nil
		})
	}
	for _, place := range Places {
		eachFoot("padding_FOOT_"+string(place), "spec.inside.padding", func(column string, foot Foot, r *row, text string) *message.Fault {
			r.add(column, "spec.inside.padding", map[string]any{"foot": string(foot), "place": string(place), "kind": text})
			return nil
		})
	}
	pair("foam", "spec.inside.foam", "")
	pair("liner", "spec.inside.liner", "")
	pair("tongue", "spec.inside.tongue", "")
	single("holder", "spec.blade.holder", false)
	single("runner", "spec.blade.runner", false)
	pair("shift", "spec.blade.alignment", "shift")
	pair("turn", "spec.blade.alignment", "turn")
	single("hollow", "spec.blade.hollow", false)
	single("rocker", "spec.blade.rocker", false)
	pair("lift_heel", "spec.blade.pitch", "heel")
	pair("lift_toe", "spec.blade.pitch", "toe")
	for _, what := range []string{"engraving", "embroidery"} {
		for _, name := range []string{what + "_place", what + "_colour"} {
			all = append(all, Column{
				Name: name, Path: "spec.finish." + what, Meaning: "spec.column." + name,
				put: func(r *row, text string) *message.Fault {
					if r.cells[what+"_left"] == "" && r.cells[what+"_right"] == "" {
						return fault("", "spec.csv.lettering", message.Args{"what": what})
					}
					return nil
				},
			})
		}
		eachFoot(what+"_FOOT", "spec.finish."+what, func(column string, foot Foot, r *row, text string) *message.Fault {
			if r.cells[what+"_place"] == "" {
				return fault("", "spec.csv.place", message.Args{"what": what})
			}
			v := map[string]any{"foot": string(foot), "text": text}
			for _, field := range []string{"place", "colour"} {
				if c := r.cells[what+"_"+field]; c != "" {
					v[field] = c
				}
			}
			r.add(column, "spec.finish."+what, v)
			return nil
		})
	}
	pair("lacing", "spec.finish.lacing", "")
	for _, name := range []string{"remark_operation", "remark_foot"} {
		all = append(all, Column{Name: name, Path: "spec.remarks", Meaning: "spec.column." + name, put: func(r *row, text string) *message.Fault {
			if r.cells["remark"] == "" {
				return fault("", "spec.csv.remark", nil)
			}
			return nil
		}})
	}
	all = append(all, Column{Name: "remark", Path: "spec.remarks", Meaning: "spec.column.remark", put: func(r *row, text string) *message.Fault {
		v := map[string]any{"text": text}
		for _, field := range []string{"operation", "foot"} {
			if c := r.cells["remark_"+field]; c != "" {
				v[field] = c
			}
		}
		r.add("remark", "spec.remarks", v)
		return nil
	}})
	return all
})
