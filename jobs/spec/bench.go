package spec

import (
	"lastroom/jobs/message"
)

func (w *writer) insideBench() {
	for _, place := range Places {
		w.each("inside.padding."+string(place), func(f Foot) (Instruction, bool) {
			pads := message.List{As: message.Plus}
			ordered := false
			for _, p := range w.padding(w.spec.Inside, f) {
				if p.Place == place {
					pad := w.catalogue.Paddings[p.Kind]
					thick := w.length(pad.Thickness)
					pads.Items = append(pads.Items, message.Phrase{Key: sizedKey("spec.do.pad", pad.Name, thick), Args: message.Args{
						"name": pad.Name, "thick": thick, "compressed": w.length(pad.Compressed),
					}})
				}
			}
			for _, p := range w.spec.Inside.Padding {
				ordered = ordered || p.Place == place && p.Foot.Has(f)
			}
			return Instruction{
				Work: InsidePadding, Special: ordered, Key: "spec.do.padding",
				Args: message.Args{"place": word("place", place), "pads": pads},
			}, len(pads.Items) > 0
		})
	}
	for _, kind := range []struct {
		work   Work
		key    string
		of     Pair[string]
		usual  string
		layers map[string]Layer
	}{
		{InsideFoam, "spec.do.foam", w.spec.Inside.Foam, "", w.catalogue.Foams},
		{InsideLiner, "spec.do.liner", w.spec.Inside.Liner, w.pattern.Liner, w.catalogue.Liners},
		{InsideTongue, "spec.do.tongue", w.spec.Inside.Tongue, w.pattern.Tongue, w.catalogue.Tongues},
	} {
		w.each(string(kind.work), func(f Foot) (Instruction, bool) {
			chosen := kind.of.Of(f)
			l, ok := kind.layers[or(chosen, kind.usual)]
			thick := w.length(l.Thickness)
			return Instruction{
				Work: kind.work, Special: chosen != "" && chosen != kind.usual, Key: sizedKey(kind.key, l.Name, thick), Target: mm(l.Thickness),
				Args: message.Args{"name": called(kind.work, l.Name), "thick": thick, "compressed": w.length(l.Compressed)},
			}, ok
		})
	}
}

func (w *writer) bladeBench() {
	if w.holder.Name == "" {
		return
	}
	b := w.spec.Blade
	w.each("blade.holder", func(f Foot) (Instruction, bool) {
		a := b.Alignment.Of(f)
		key, args := "spec.do.holder", message.Args{"name": called(BladeHolder, w.holder.Name), "span": w.length(w.holder.Span)}
		if a != (Alignment{}) {
			key, args["shift"], args["turn"] = "spec.do.holder.off", w.signed(a.Shift), angle(a.Angle)
		}
		return Instruction{
			Work: BladeHolder, Special: a != (Alignment{}) || b.Holder != "" && b.Holder != w.pattern.Holder, Key: key, Args: args,
			Target: &Target{Value: float64(a.Angle), Unit: "°"},
		}, true
	})
	if w.runner.Name == "" {
		return
	}
	both := func(work Work, special bool, key string, target *Target, args message.Args) {
		w.add(string(work), Instruction{Work: work, Foot: Both, Special: special, Key: key, Args: args, Target: target})
	}
	length := w.length(w.runner.Length)
	both(BladeRunner, b.Runner != "", sizedKey("spec.do.runner", w.runner.Name, length), mm(w.runner.Length), message.Args{
		"name": called(BladeRunner, w.runner.Name), "length": length,
	})
	if w.hollow > 0 {
		both(BladeHollow, w.hollow != w.pattern.Hollow, "spec.do.hollow", &Target{Value: float64(w.hollow), Unit: "mm"}, message.Args{
			"radius": w.radius(w.hollow), "thick": w.length(w.runner.Thickness),
			"depth": fixed(float64(HollowDepth(w.hollow, w.runner.Thickness)), 3, "mm"),
			"angle": fixed(float64(EdgeAngle(w.hollow, w.runner.Thickness)), 1, "°"),
		})
	}
	if w.rocker > 0 {
		depth := w.catalogue.Tolerances.Penetration
		both(BladeRocker, w.rocker != w.pattern.Rocker, "spec.do.rocker", &Target{Value: float64(w.rocker), Unit: "mm"}, message.Args{
			"radius": w.radius(w.rocker), "depth": w.length(depth),
			"contact": fixed(float64(ContactLength(w.rocker, depth)), 1, "mm"),
		})
	}
	w.each("blade.pitch", func(f Foot) (Instruction, bool) {
		lift := b.Pitch.Of(f)
		heel, toe := w.stands(f)
		pitch := PitchOf(heel, toe, w.holder.Span)
		key := "spec.do.pitch"
		if lift != (Lift{}) {
			key = "spec.do.pitch.lift"
		}
		return Instruction{
			Work: BladePitch, Special: lift != (Lift{}), Key: key, Target: &Target{Value: roundTo(float64(pitch), 1), Unit: "°"},
			Args: message.Args{
				"heel": w.length(lift.Heel), "toe": w.length(lift.Toe), "heelStand": w.length(heel), "toeStand": w.length(toe),
				"pitch": fixed(float64(pitch), 2, "°"),
				"each":  fixed(float64(PitchOf(1, 0, w.holder.Span)), 2, "°"),
			},
		}, w.holder.Span > 0 && heel > 0
	})
}

func (w *writer) finishBench() {
	for _, kind := range []struct {
		work Work
		key  string
		all  []Lettering
	}{{FinishEngraving, "spec.do.engraving", w.spec.Finish.Engraving}, {FinishEmbroidery, "spec.do.embroidery", w.spec.Finish.Embroidery}} {
		for _, l := range kind.all {
			key, args := kind.key, message.Args{"text": l.Text, "place": w.catalogue.Lettering[l.Place].Name}
			if l.Colour != "" {
				key, args["colour"] = key+".colour", l.Colour
			}
			w.add(string(kind.work)+"."+l.Place, Instruction{Work: kind.work, Foot: l.Foot, Special: true, Key: key, Args: args})
		}
	}
	w.each("finish.lacing", func(f Foot) (Instruction, bool) {
		chosen := w.spec.Finish.Lacing.Of(f)
		name := w.catalogue.Laces[or(chosen, w.pattern.Lace)].Name
		return Instruction{Work: FinishLacing, Special: chosen != "" && chosen != w.pattern.Lace, Key: "spec.do.lacing", Args: message.Args{"name": called(FinishLacing, name)}}, name != ""
	})
}
