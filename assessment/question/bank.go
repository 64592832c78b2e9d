package question

import (
	"cmp"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"encoding/json"
	"io/fs"
	"slices"
	"sync"

	"isthmus/assessment"
	"isthmus/assessment/strict"
)

// Bank is a set of items, one version of each. What is drawn from it is drawn from its live items.
type Bank struct {
	items   []Item // by id
	version string
}

// NewBank makes a bank of items; their order makes no difference. The error is strict.Faults for an item that is not valid or an id given
// twice, the fields starting with the item's place in the list.
func NewBank(items []Item) (Bank, error) {
	sorted := slices.Clone(items)
	slices.SortStableFunc(sorted, func(a, b Item) int { return cmp.Compare(a.ID, b.ID) })
	var faults strict.Faults
	for i, it := range sorted {
		faults.Join(string(it.ID), it.Validate())
		if i > 0 && sorted[i-1].ID == it.ID {
			faults.Add(string(it.ID), "an item with this id is in the bank already")
		}
	}
	if err := faults.Err(); err != nil {
		return Bank{}, err
	}
	return Bank{items: sorted, version: versionOf(sorted)}, nil
}

// versionOf names the live items with all that is in them: the first 16 digits of the SHA-256 of their JSON.
func versionOf(sorted []Item) string {
	sum := sha256.New()
	for _, it := range sorted {
		if it.Status != assessment.Live {
			continue
		}
		text, err := json.Marshal(it)
		if err != nil {
			panic("question: a valid item cannot be written: " + err.Error()) // it holds no number that JSON lacks
		}
		sum.Write(append(text, '\n'))
	}
	return hex.EncodeToString(sum.Sum(nil))[:16]
}

// Version names what is drawn from: two banks with the same live items have the same one, and any change to a live item gives another.
func (b Bank) Version() string { return b.version }

// Items are all items, by id. Callers must not change what they point to.
func (b Bank) Items() []Item { return slices.Clone(b.items) }

// Item finds an item by its id.
func (b Bank) Item(id ItemID) (Item, bool) {
	i, found := slices.BinarySearchFunc(b.items, id, func(it Item, id ItemID) int { return cmp.Compare(it.ID, id) })
	if !found {
		return Item{}, false
	}
	return b.items[i], true
}

// Topics are the topics of the live items, in alphabetical order.
func (b Bank) Topics() []Topic {
	var topics []Topic
	for _, it := range b.items {
		if it.Status == assessment.Live {
			topics = append(topics, it.Topic)
		}
	}
	slices.Sort(topics)
	return slices.Compact(topics)
}

//go:embed bank/*.yaml
var files embed.FS

// Starter is the bank that comes with the program, all live. Every item is our own; every keyed fact has its source beside it. A file that
// changes an item gets it a higher version: programmes keep the versions that were answered.
var Starter = sync.OnceValue(func() Bank {
	names, err := fs.Glob(files, "bank/*.yaml")
	if err != nil {
		panic(err)
	}
	var items []Item
	for _, name := range names {
		data, err := files.ReadFile(name)
		if err != nil {
			panic(err)
		}
		list, err := Decode(name, data)
		if err != nil {
			panic("question: the starter bank is broken: " + err.Error())
		}
		items = append(items, list...)
	}
	bank, err := NewBank(items)
	if err != nil {
		panic("question: the starter bank is broken: " + err.Error())
	}
	return bank
})
