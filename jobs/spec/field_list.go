package spec

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"lastroom/jobs/message"
)

// slot is one item of a list as a form shows it: the n-th, from 0, of those at one place of one foot.
type slot[T any] struct {
	list  func(*Spec) *[]T
	here  func(T) bool
	where func(*T) *Foot
	path  string // of the list
	foot  Foot
	n     int
}

// index is where the slot's item stands in the list, -1 where there is none.
func (l slot[T]) index(s *Spec) int {
	seen := 0
	for i, one := range *l.list(s) {
		if !l.here(one) || !l.where(&one).Has(l.foot) {
			continue
		}
		if seen == l.n {
			return i
		}
		seen++
	}
	return -1
}

func (l slot[T]) item(s *Spec) (one T, ok bool) {
	if i := l.index(s); i >= 0 {
		return (*l.list(s))[i], true
	}
	return one, false
}

// put puts an item into its slot. What was for both feet stays for the other one.
func (l slot[T]) put(s *Spec, next T) {
	*l.where(&next) = l.foot
	all := slices.Clone(*l.list(s))
	switch i := l.index(s); {
	case i < 0:
		all = append(all, next)
	case *l.where(&all[i]) != l.foot:
		*l.where(&all[i]) = l.foot.Other()
		all = slices.Insert(all, i+1, next)
	default:
		all[i] = next
	}
	*l.list(s) = all
}

func (l slot[T]) paths(s *Spec) []string {
	if i := l.index(s); i >= 0 {
		return []string{itemPath(l.path, i)}
	}
	return nil
}

// count is how many items a spec has there.
func (l slot[T]) count(s *Spec) int {
	n := 0
	for l.n = 0; l.index(s) >= 0; l.n++ {
		n++
	}
	return n
}

// numbered is the name of the n-th slot; the first is called by the place alone.
func numbered(name string, n int) string {
	if n == 0 {
		return name
	}
	return name + "." + strconv.Itoa(n+1)
}

// remarked cuts what stands behind a colon, in words, off a text.
func remarked(text string) (value, remark string) {
	value, remark, _ = strings.Cut(text, ":")
	return strings.TrimSpace(value), strings.TrimSpace(remark)
}

func withRemark(value, remark string) string {
	if remark == "" {
		return value
	}
	return value + ": " + remark
}

func placeArgs(place Place) message.Args {
	return message.Args{"place": word("place", place)}
}

// openingFields show "4 mm", "-2 mm" for inwards, "4 mm over 40 mm: the bone rubs" with all it can say.
func (f *fields) openingFields(place Place, foot Foot, allowed bool) {
	at := slot[Opening]{
		list: func(s *Spec) *[]Opening { return &s.Last.Openings }, here: func(o Opening) bool { return o.Place == place },
		where: func(o *Opening) *Foot { return &o.Foot }, path: "last.openings", foot: foot,
	}
	most := at.count(&f.spec)
	if allowed {
		most = max(most, 1)
	}
	for n := range most {
		at := at
		at.n = n
		f.add(Field{
			Name: numbered("last.opening."+string(place), n), Foot: foot, Unit: f.bare.Name(),
			Key: "spec.label.last.opening", Args: placeArgs(place), Help: "spec.help.last.opening", paths: at.paths,
			get: func(s *Spec) string {
				o, ok := at.item(s)
				if !ok || o.By == 0 {
					return ""
				}
				text := f.bare.Format(o.By)
				if o.Direction == Inwards {
					text = "-" + text
				}
				if o.Extent > 0 {
					text += " over " + f.bare.Format(o.Extent)
				}
				return withRemark(text, o.Remark)
			},
			set: func(s *Spec, text string) error {
				o := Opening{Place: place, Direction: Outwards}
				text, o.Remark = remarked(text)
				depth, extent, wide := strings.Cut(text, " over ")
				if err := f.read(depth, &o.By); err != nil {
					return err
				}
				if wide {
					if err := f.read(extent, &o.Extent); err != nil {
						return err
					}
				}
				if o.By < 0 {
					o.By, o.Direction = -o.By, Inwards
				}
				at.put(s, o)
				return nil
			},
		})
	}
}

// facingFields show "6.35 mm on 1-6: top three eyelets standard".
func (f *fields) facingFields(on Side, foot Foot) {
	at := slot[FacingCut]{
		list: func(s *Spec) *[]FacingCut { return &s.Shell.Facing }, here: func(c FacingCut) bool { return c.Side == on },
		where: func(c *FacingCut) *Foot { return &c.Foot }, path: "shell.facing", foot: foot,
	}
	for n := range at.count(&f.spec) + 1 {
		at := at
		at.n = n
		f.add(Field{
			Name: numbered("shell.facing."+string(on), n), Foot: foot,
			Key: "spec.label.shell.facing." + string(on), Help: "spec.help.shell.facing", paths: at.paths,
			get: func(s *Spec) string {
				c, ok := at.item(s)
				if !ok || c.From == 0 {
					return ""
				}
				return withRemark(fmt.Sprintf("%s on %d-%d", f.bare.Format(c.By), c.From, c.To), c.Remark)
			},
			set: func(s *Spec, text string) error {
				cut := FacingCut{Side: on}
				value, remark := remarked(text)
				cut.Remark = remark
				if value != "" {
					if err := f.readCut(value, &cut); err != nil {
						return err
					}
				}
				at.put(s, cut)
				return nil
			},
		})
	}
}

func (f *fields) readCut(text string, into *FacingCut) error {
	by, eyelets, on := strings.Cut(text, " on ")
	from, to, several := strings.Cut(eyelets, "-")
	if !several {
		to = from
	}
	if !on || whole(strings.TrimSpace(from), &into.From) != nil || whole(strings.TrimSpace(to), &into.To) != nil || into.From < 1 {
		return fault("", "spec.csv.facing", message.Args{"found": quote(text)})
	}
	by = strings.TrimSpace(by)
	if by == "" {
		return fault("", "spec.csv.facing", message.Args{"found": quote(text)})
	}
	return f.read(by, &into.By)
}

// paddingFields are the pads that lie on one another at a place, and room for one more.
func (f *fields) paddingFields(place Place, foot Foot, kinds []string, c *Catalogue) {
	at := slot[Padding]{
		list: func(s *Spec) *[]Padding { return &s.Inside.Padding }, here: func(p Padding) bool { return p.Place == place },
		where: func(p *Padding) *Foot { return &p.Foot }, path: "inside.padding", foot: foot,
	}
	most := at.count(&f.spec)
	if len(kinds) > 0 {
		most++
	}
	for n := range most {
		at := at
		at.n = n
		now, _ := at.item(&f.spec)
		key := "spec.label.inside.padding"
		if n > 0 {
			key += ".further"
		}
		f.add(Field{
			Name: numbered("inside.padding."+string(place), n), Foot: foot, Choices: with(kinds, now.Kind),
			Key: key, Args: placeArgs(place), paths: at.paths, names: func(key string) string { return c.Paddings[key].Name },
			get: func(s *Spec) string { p, _ := at.item(s); return p.Kind },
			set: func(s *Spec, text string) error { at.put(s, Padding{Place: place, Kind: text}); return nil },
		})
	}
}

// letterings are the texts at each place of the catalogue, and at those that the spec names beside them.
func (f *fields) letterings(name string, sewn bool, c *Catalogue, list func(*Spec) *[]Lettering) {
	var places []string
	for _, key := range slices.Sorted(maps.Keys(c.Lettering)) {
		if c.Lettering[key].Embroidery == sewn {
			places = append(places, key)
		}
	}
	for _, l := range *list(&f.spec) {
		places = with(places, l.Place)
	}
	for _, place := range places {
		where := c.Lettering[place]
		args := message.Args{"place": where.Name, "most": where.Characters}
		if where.Name == "" {
			args["place"] = place
		}
		for _, foot := range Feet {
			at := slot[Lettering]{
				list: list, here: func(l Lettering) bool { return l.Place == place },
				where: func(l *Lettering) *Foot { return &l.Foot }, path: name, foot: foot,
			}
			for n := range max(1, at.count(&f.spec)) {
				f.lettering(numbered(name+"."+place, n), name, where, args, at, n)
			}
		}
	}
}

// lettering is a text, and its colour where the place has colours or the spec names one.
func (f *fields) lettering(field, kind string, where TextPlace, args message.Args, at slot[Lettering], n int) {
	at.n = n
	place := strings.Split(strings.TrimPrefix(field, kind+"."), ".")[0]
	now, _ := at.item(&f.spec)
	f.add(Field{
		Name: field, Foot: at.foot, Key: "spec.label." + kind, Args: args, paths: at.paths,
		get: func(s *Spec) string { l, _ := at.item(s); return l.Text },
		set: func(s *Spec, text string) error {
			l, _ := at.item(s)
			l.Place, l.Text = place, text
			at.put(s, l)
			return nil
		},
	})
	if len(where.Colours) == 0 && now.Colour == "" {
		return
	}
	f.add(Field{
		Name: field + ".colour", Foot: at.foot, Key: "spec.label." + kind + ".colour", Args: args,
		Choices: with(where.Colours, now.Colour),
		paths: func(s *Spec) []string {
			var all []string
			for _, path := range at.paths(s) {
				all = append(all, path+".colour")
			}
			return all
		},
		get: func(s *Spec) string { l, _ := at.item(s); return l.Colour },
		set: func(s *Spec, text string) error {
			l, _ := at.item(s)
			l.Place, l.Colour = place, text
			at.put(s, l)
			return nil
		},
	})
}

// remarkFields are the remarks, each with the operation that must read it and the foot it is for, and
// room for one more.
func (f *fields) remarkFields(c *Catalogue) {
	for n := range len(f.spec.Remarks) + 1 {
		at := func(s *Spec) *Remark {
			for len(s.Remarks) <= n {
				s.Remarks = append(slices.Clip(s.Remarks), Remark{})
			}
			return &s.Remarks[n]
		}
		read := func(s *Spec) Remark {
			if n < len(s.Remarks) {
				return s.Remarks[n]
			}
			return Remark{}
		}
		one := func(part, key string, field Field, of func(*Remark) *string) {
			field.Name, field.Key, field.Args = numbered("remarks", n)+"."+part, key, message.Args{"n": n + 1}
			field.paths = func(s *Spec) []string {
				if n < len(s.Remarks) {
					return []string{itemPath("remarks", n) + "." + part}
				}
				return nil
			}
			field.get = func(s *Spec) string { r := read(s); return *of(&r) }
			field.set = func(s *Spec, text string) error { *of(at(s)) = text; return nil }
			f.add(field)
		}
		now := read(&f.spec)
		one("text", "spec.label.remarks.text", Field{Long: true}, func(r *Remark) *string { return &r.Text })
		one("operation", "spec.label.remarks.operation", Field{Choices: with(c.Route, now.Operation)}, func(r *Remark) *string { return &r.Operation })
		one("foot", "spec.label.remarks.foot", Field{
			Choices: with([]string{string(Left), string(Right), string(Both)}, string(now.Foot)),
			names:   func(key string) string { return message.Say(message.Default, "spec.foot."+key, nil) },
		}, func(r *Remark) *string { return (*string)(&r.Foot) })
	}
}
