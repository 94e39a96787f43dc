package plan

import (
	"cmp"
	"math"
	"slices"
)

// orders are, for each station, the order in which it takes its cards: what a search changes. They are
// the rank and the who of its board. Cards that come to the station stand first; pinned ones keep their
// place.
type orders struct {
	b     *board    // of this search alone
	free  [][]int32 // by station: the places, in its order, whose card may change
	index [][]int32 // by station and place: the index in free, −1 where the card may not change
}

// newOrders takes the orders that a board has, and a copy of the board to change.
func newOrders(b *board, pinned func(card int32) bool) *orders {
	own := *b
	own.rank, own.who = make([][]int32, len(b.benches)), make([][]int32, len(b.benches))
	o := &orders{b: &own, free: make([][]int32, len(b.benches)), index: make([][]int32, len(b.benches))}
	comes := make([]bool, len(b.cards))
	for s := range b.benches {
		clear(comes)
		for i := range b.cards {
			comes[i] = b.comes(int32(i), int32(s))
		}
		own.who[s] = slices.Clone(b.who[s])
		slices.SortStableFunc(own.who[s], func(x, y int32) int {
			switch {
			case comes[x] == comes[y]:
				return 0
			case comes[x]:
				return -1
			}
			return 1
		})
		own.rank[s] = ranksOf(own.who[s])
		o.index[s] = make([]int32, len(b.cards))
		for r, i := range own.who[s] {
			o.index[s][r] = -1
			if comes[i] && !pinned(i) {
				o.index[s][r] = int32(len(o.free[s]))
				o.free[s] = append(o.free[s], int32(r))
			}
		}
	}
	return o
}

// comes says whether a card still has a step to begin at a station.
func (b *board) comes(i, s int32) bool {
	c := &b.cards[i]
	from := c.at
	if c.inHand {
		from++
	}
	return slices.ContainsFunc(b.works[from:c.end], func(w work) bool { return w.station == s })
}

// at is the index of a card in the free places of a station; −1 if it has none there.
func (o *orders) at(s, i int32) int {
	return int(o.index[s][o.b.rank[s][i]])
}

// shift moves the card at one free place of a station to another; those between move by one.
func (o *orders) shift(s int32, from, to int) {
	who, rank, free := o.b.who[s], o.b.rank[s], o.free[s]
	i := who[free[from]]
	for ; from < to; from++ {
		c := who[free[from+1]]
		who[free[from]], rank[c] = c, free[from]
	}
	for ; from > to; from-- {
		c := who[free[from-1]]
		who[free[from]], rank[c] = c, free[from]
	}
	who[free[to]], rank[i] = i, free[to]
}

// swap exchanges the cards at two free places of a station.
func (o *orders) swap(s int32, x, y int) {
	who, rank, free := o.b.who[s], o.b.rank[s], o.free[s]
	a, b := free[x], free[y]
	who[a], who[b] = who[b], who[a]
	rank[who[a]], rank[who[b]] = a, b
}

// arrange puts the cards of a station's free places into the order of a key, the least first.
func (o *orders) arrange(s int32, key []int64) {
	who, rank, free := o.b.who[s], o.b.rank[s], o.free[s]
	cards := make([]int32, len(free))
	for k, r := range free {
		cards[k] = who[r]
	}
	slices.SortStableFunc(cards, func(x, y int32) int { return cmp.Compare(key[x], key[y]) })
	for k, r := range free {
		who[r], rank[cards[k]] = cards[k], r
	}
}

// arrangeAll does so at every station.
func (o *orders) arrangeAll(key []int64) {
	for s := range o.b.benches {
		o.arrange(int32(s), key)
	}
}

// asPlayed puts every station's cards into the order in which a recorded play began them.
func (o *orders) asPlayed(p *play) {
	key := make([][]int64, len(o.b.benches))
	for s := range key {
		key[s] = make([]int64, len(o.b.cards))
		for i := range key[s] {
			key[s][i] = math.MaxInt64
		}
	}
	for _, v := range p.visits {
		k := key[o.b.works[v.step].station]
		k[v.card] = min(k[v.card], v.begin)
	}
	for s := range key {
		o.arrange(int32(s), key[s])
	}
}

// copyTo keeps the orders; who and rank must be of the same size.
func (o *orders) save(into *saved) {
	if into.who == nil {
		into.who, into.rank = make([][]int32, len(o.b.who)), make([][]int32, len(o.b.who))
	}
	for s := range o.b.who {
		into.who[s] = append(into.who[s][:0], o.b.who[s]...)
		into.rank[s] = append(into.rank[s][:0], o.b.rank[s]...)
	}
}

func (o *orders) load(from *saved) {
	for s := range o.b.who {
		copy(o.b.who[s], from.who[s])
		copy(o.b.rank[s], from.rank[s])
	}
}

// saved are orders that are kept aside.
type saved struct{ who, rank [][]int32 }
