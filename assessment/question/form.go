package question

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"slices"

	"isthmus/assessment"
	"isthmus/assessment/strict"
)

// Form is the items of one test in the order they are asked. It follows from blueprint, bank and seed alone, on every machine.
type Form struct {
	Bank  string   `json:"bank"` // version it was drawn from
	Seed  int64    `json:"seed"` // never shown to whoever takes the test
	Items []Placed `json:"items"`
}

// Placed is an item in a form, with its options in the order they are shown.
type Placed struct {
	Ref
	Order []string `json:"order,omitempty"` // ids of options
}

// Assemble draws a form. Rows that name a difficulty are filled first, then those that take any; which items are taken, their order and
// that of their options follow from a hash of seed and ids, so that adding an item to the bank moves as little as possible. Of items that
// give one another away only the first drawn is taken. A fixed list is its author's: it keeps its order and all its items. The error is
// strict.Faults when the blueprint is not valid or the bank has too few live items for a row.
func Assemble(bank Bank, b Blueprint, seed int64) (Form, error) {
	if err := b.Validate().Err(); err != nil {
		return Form{}, err
	}
	chosen, err := bank.chosen(b, seed)
	if err != nil {
		return Form{}, err
	}
	form := Form{Bank: bank.version, Seed: seed}
	for _, it := range chosen {
		form.Items = append(form.Items, Place(it, seed))
	}
	return form, nil
}

// chosen are the items of a form in their order.
func (bank Bank) chosen(b Blueprint, seed int64) ([]Item, error) {
	if len(b.Fixed) > 0 {
		return bank.fixed(b.Fixed)
	}
	var faults strict.Faults
	var list []Item
	for _, anyDifficulty := range []bool{false, true} {
		for i, row := range b.Rows {
			if (row.Difficulty == "") != anyDifficulty {
				continue
			}
			before := len(list)
			list = bank.draw(row, list, seed)
			if n := len(list) - before; n < row.Items {
				faults.Add(fmt.Sprintf("rows[%d].items", i), "asks for %d; the bank has %d live items for it beside what else is drawn", row.Items, n)
			}
		}
	}
	if err := faults.Err(); err != nil {
		return nil, err
	}
	byLot(list, seed, "place", func(it Item) string { return string(it.ID) })
	return list, nil
}

// draw adds a row's items to those taken, as many as there are.
func (bank Bank) draw(row Row, taken []Item, seed int64) []Item {
	candidates := slices.DeleteFunc(bank.Items(), func(it Item) bool {
		return it.Status != assessment.Live || it.Topic != row.Topic || row.Difficulty != "" && row.Difficulty != it.Difficulty
	})
	byLot(candidates, seed, "draw", func(it Item) string { return string(it.ID) })
	most := len(taken) + row.Items
	for _, it := range candidates {
		clash := func(other Item) bool { return other.ID == it.ID || other.givesAway(it) }
		if len(taken) < most && !slices.ContainsFunc(taken, clash) {
			taken = append(taken, it)
		}
	}
	return taken
}

// fixed are the items of a fixed list.
func (bank Bank) fixed(refs []Ref) ([]Item, error) {
	var faults strict.Faults
	var list []Item
	for i, ref := range refs {
		field := fmt.Sprintf("fixed[%d].item", i)
		it, found := bank.Item(ref.Item)
		switch {
		case !found:
			faults.Add(field, "%q is not in the bank", shorten(string(ref.Item)))
		case it.Version != ref.Version:
			faults.Add(fmt.Sprintf("fixed[%d].version", i), "is %d; the bank has version %d", ref.Version, it.Version)
		case it.Status != assessment.Live:
			faults.Add(field, "is %s; only live items are asked", it.Status)
		default:
			list = append(list, it)
		}
	}
	return list, faults.Err()
}

// Place puts an item into a form of that seed: its options in an order of their own, or as written where the item keeps its order.
func Place(it Item, seed int64) Placed {
	p := Placed{Ref: Ref{it.ID, it.Version}}
	for _, o := range it.Options {
		p.Order = append(p.Order, o.ID)
	}
	if !it.KeepOrder {
		byLot(p.Order, seed, "option/"+string(it.ID), func(id string) string { return id })
	}
	return p
}

// byLot sorts a list by a lot that each name draws: SHA-256 of seed, purpose and name. Unlike a generator of random numbers it gives each
// name the same lot whatever else is in the list.
func byLot[T any](list []T, seed int64, purpose string, name func(T) string) {
	type drawn struct {
		lot  [sha256.Size]byte
		name string
		of   T
	}
	lots := make([]drawn, len(list))
	for i, v := range list {
		text := binary.BigEndian.AppendUint64(nil, uint64(seed))
		lots[i] = drawn{sha256.Sum256(append(text, purpose+"\x00"+name(v)...)), name(v), v}
	}
	slices.SortFunc(lots, func(a, b drawn) int { return cmp.Or(bytes.Compare(a.lot[:], b.lot[:]), cmp.Compare(a.name, b.name)) })
	for i, d := range lots {
		list[i] = d.of
	}
}
