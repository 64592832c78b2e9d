// Package qti takes items of the bank out and in as a package of 1EdTech QTI 3.0: choices, orders and numbers. Bytes in, items out; it
// knows no database, and nothing it reads makes it open a file or an address.
//
// The shapes are those of the published standard: the schema imsqti_asiv3p0p1_v1p0.xsd for an item and imsqtiv3p0_imscpv1p2_v1p0.xsd for
// the manifest, read with the Best Practices and Implementation Guide 3.0.1 and its examples (called the guide here; as the manifest of
// the examples numbers them, section 3.2 is interactions and 3.7 feedback). What an item says of itself stands in the item; what is said
// about it (topic, source, author, version, status, difficulty) stands in the manifest as IEEE LOM, which is where the standard keeps it:
// an item file alone has none.
package qti

import (
	"strings"

	"isthmus/assessment/strict"
)

// Namespaces of the standard, as its examples declare them.
const (
	itemSpace     = "http://www.imsglobal.org/xsd/imsqtiasi_v3p0"
	manifestSpace = "http://www.imsglobal.org/xsd/qti/qtiv3p0/imscp_v1p1"
	metadataSpace = "http://www.imsglobal.org/xsd/imsqti_metadata_v3p0"
	lomSpace      = "http://ltsc.ieee.org/xsd/LOM"
)

// Names within a package.
const (
	manifestName = "imsmanifest.xml"     // IMS Content Packaging 1.2: at the root of the package
	itemType     = "imsqti_item_xmlv3p0" // resource type of an item
	ours         = "Isthmus"             // source of the words that LOM's own vocabularies lack
	response     = "RESPONSE"
	score        = "SCORE"
	feedback     = "FEEDBACK"
	rationale    = "RATIONALE" // the modal feedback that gives the rationale; our ids are lower case, so none is called that
	miss         = "MISS-"     // the modal feedback on a wrong number, counted from 1
)

// Limits of what is read, so that a small file cannot fill the memory or take the processor.
const (
	MaxBytes    = 20 << 20 // of a package
	maxXML      = 1 << 20  // of one file in it
	maxUnpacked = 50 << 20 // of all files in it
	maxRatio    = 200      // unpacked to packed, of a file above 64 KB: text rarely packs better than 20
	maxFiles    = 5000
	maxDepth    = 64 // of elements inside one another
	maxElements = 20_000
	maxAttrs    = 100 // of one element
	maxOptions  = 100 // of one item: more than it may have, so that the count is told
	maxFound    = 100 // mistakes told of one file: nobody reads more
)

// Faults are the mistakes of a package, by file; an error when there is any.
type Faults []strict.Faults

// Error lists the mistakes, one a line, as file:line:column: element: message.
func (f Faults) Error() string {
	lines := make([]string, len(f))
	for i, file := range f {
		lines[i] = file.Error()
	}
	return strings.Join(lines, "\n")
}

// err is f as an error, or nil when there is no mistake.
func (f Faults) err() error {
	if len(f) == 0 {
		return nil
	}
	return f
}

// add puts a mistake to those of its file.
func (f *Faults) add(file string, fault strict.Fault) {
	for i := range *f {
		if (*f)[i].File == file {
			if len((*f)[i].List) < maxFound {
				(*f)[i].List = append((*f)[i].List, fault)
			}
			return
		}
	}
	*f = append(*f, strict.Faults{File: file, List: []strict.Fault{fault}})
}
