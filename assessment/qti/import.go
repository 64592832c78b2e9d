package qti

import (
	"bytes"
	"strings"

	"isthmus/assessment/question"
	"isthmus/assessment/strict"
)

// Imported is what an import gives.
type Imported struct {
	Items []question.Item // those without a mistake, in the order of the manifest; all valid
	Notes Faults          // what was not kept, or filled in because the file does not give it: no mistakes
}

// Import reads a package, or one item file alone, and checks each item whole. Items without a mistake are given beside the error, which is
// Faults with the file and element of every mistake in the others; name stands for the file in it. What the standard leaves optional and
// an item needs (a source, feedback on every option) is filled in with words that say so, and such an item is a draft.
func Import(name string, data []byte) (Imported, error) {
	in := importer{name: name, ids: map[question.ItemID]string{}, read: map[string]bool{}}
	if bytes.HasPrefix(data, []byte("PK")) {
		in.pack(data)
	} else {
		in.item(name, data, nil, name)
	}
	return in.got, in.faults.err()
}

type importer struct {
	name   string
	got    Imported
	faults Faults
	ids    map[question.ItemID]string // where each id stood first
	read   map[string]bool            // files of the package that were read
}

// pack reads the manifest and the items it lists; what it does not list is not part of the package.
func (in *importer) pack(data []byte) {
	files, faults := unpack(data)
	for _, fault := range faults.List {
		in.faults.add(in.name, fault)
	}
	if len(faults.List) > 0 {
		return // a package that is dangerous anywhere is not opened at all
	}
	place := in.name + "/" + manifestName
	text, err := files.read(manifestName)
	if err != nil {
		in.faults.add(place, strict.Fault{Message: err.Error()})
		return
	}
	manifest, fault := parse(text)
	if fault != nil {
		in.faults.add(place, *fault)
		return
	}
	if manifest.name != "manifest" || manifest.space != manifestSpace {
		in.faults.add(place, manifest.fault("is no manifest of a QTI 3.0 package, which is <manifest> of %s", manifestSpace))
		return
	}
	items := 0
	for _, resource := range manifest.find("resources").children() {
		if resource.name == "resource" {
			items += in.resource(files, place, resource)
		}
	}
	if items == 0 {
		in.faults.add(place, manifest.fault("lists no item of QTI 3.0 (a resource of the type %s)", itemType))
	}
}

// resource reads one that is an item; it returns how many items that was.
func (in *importer) resource(files archive, place string, resource *element) int {
	kind := resource.attr("type")
	if kind != itemType {
		if strings.HasPrefix(kind, "imsqti") {
			in.got.Notes.add(place, resource.fault("a resource of the type %q is not read: items are", shorten(kind)))
		}
		return 0
	}
	href := resource.attr("href")
	name, ok := target(href)
	switch {
	case resource.attr("xml:base") != "":
		in.faults.add(place, resource.fault("xml:base is not followed: write the whole path in href"))
	case !ok:
		in.faults.add(place, resource.fault("href %q leads out of the package: nothing is fetched", shorten(href)))
	case in.read[name]:
		in.faults.add(place, resource.fault("href %q is listed before", shorten(href)))
	default:
		in.read[name] = true
		text, err := files.read(name)
		if err != nil {
			in.faults.add(place, resource.fault("href %q %v", shorten(href), err))
			break
		}
		in.item(in.name+"/"+name, text, resource.find("metadata", "lom"), place)
	}
	return 1
}

// item reads one item; lom is what the manifest says of it, nil when there is none.
func (in *importer) item(file string, data []byte, lom *element, lomFile string) {
	root, fault := parse(data)
	if fault != nil {
		in.faults.add(file, *fault)
		return
	}
	if root.name != "qti-assessment-item" || root.space != itemSpace {
		in.faults.add(file, root.fault("is no item of QTI 3.0, which is <qti-assessment-item> of %s", itemSpace))
		return
	}
	r := itemReader{file: file, root: root, lom: lom, lomFile: lomFile, places: map[string]place{}, notes: &in.got.Notes}
	it := r.read()
	if before, given := in.ids[it.ID]; given {
		r.faults.add(file, root.fault("identifier gives the id %q, which %s has too", it.ID, before))
	}
	in.ids[it.ID] = file
	if len(r.faults) == 0 {
		in.got.Items = append(in.got.Items, it)
		return
	}
	for _, list := range r.faults {
		for _, fault := range list.List {
			in.faults.add(list.File, fault)
		}
	}
}

// children are the elements directly inside; none when e is nil.
func (e *element) children() []*element {
	var list []*element
	if e != nil {
		for _, p := range e.parts {
			if p.child != nil {
				list = append(list, p.child)
			}
		}
	}
	return list
}
