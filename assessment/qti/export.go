package qti

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"time"

	"isthmus/assessment/question"
)

// Package is what an export gives.
type Package struct {
	Data    []byte // the zip
	Items   int    // how many are in it
	LeftOut []Left // items that the standard cannot express
	Changed []Left // items that are in it, but behave otherwise elsewhere
}

// Left is an item that an export leaves out or cannot keep whole, and why.
type Left struct {
	Item question.ItemID
	Why  string
}

// packed is the time every file in a package bears, so that the same items give the same bytes.
var packed = time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC) // the first a zip can hold

// Export makes a package of valid items in the order given; Import gives them back equal. The same items give the same bytes. The error
// is an id given twice.
func Export(items []question.Item) (Package, error) {
	var p Package
	var kept []question.Item
	seen := map[question.ItemID]bool{}
	for _, it := range items {
		if seen[it.ID] {
			return Package{}, fmt.Errorf("qti: item %q is given twice", it.ID)
		}
		seen[it.ID] = true
		if why := inexpressible(it); why != "" {
			p.LeftOut = append(p.LeftOut, Left{it.ID, why})
			continue
		}
		if it.Rule == question.Pairs {
			p.Changed = append(p.Changed, Left{it.ID, "is marked all or nothing by other programs: QTI has no operator for pairs in order"})
		}
		kept = append(kept, it)
	}
	p.Items = len(kept)
	var out bytes.Buffer
	archive := zip.NewWriter(&out)
	if err := store(archive, manifestName, manifestOf(kept)); err != nil {
		return Package{}, err
	}
	for _, it := range kept {
		if err := store(archive, hrefOf(it), itemOf(it)); err != nil {
			return Package{}, err
		}
	}
	if err := archive.Close(); err != nil {
		return Package{}, err
	}
	p.Data = out.Bytes()
	return p, nil
}

func store(archive *zip.Writer, name string, document *element) error {
	w, err := archive.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate, Modified: packed})
	if err != nil {
		return err
	}
	_, err = io.Copy(w, bytes.NewReader(document.bytes()))
	return err
}
