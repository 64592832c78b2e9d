package api

import (
	"bytes"
	"cmp"
	_ "embed"
	"html/template"
	"maps"
	"net/http"
	"slices"
	"strings"

	"github.com/danielgtaylor/huma/v2"
	"github.com/gin-gonic/gin"

	"isthmus/policies"
)

//go:embed reference.html
var referenceHTML string

//go:embed reference.css
var referenceCSS string

// referenceTemplates are the pages that explain the API: no script, nothing from another site.
var referenceTemplates = template.Must(template.New("reference").Parse(referenceHTML))

// reference is the API as its page shows it.
type reference struct {
	Title, Version, About string
	Groups                []referenceGroup
	Types                 []referenceType
	Problems              []referenceProblem
}

// referenceGroup is the operations on one subject.
type referenceGroup struct {
	Tag        string
	Operations []referenceOperation
}

// Anchor names the group in an address.
func (g referenceGroup) Anchor() string { return "group-" + strings.ReplaceAll(g.Tag, " ", "-") }

type referenceOperation struct {
	ID, Method, Path, Summary, Details string
	Object, Action                     string
	Public                             bool
	Parameters                         []referenceField
	Body                               referenceShape
	Answers                            []referenceAnswer
}

// referenceField is a parameter or a property.
type referenceField struct {
	Name, In, Doc string
	Required      bool
	Shape         referenceShape
}

// referenceShape is a type in words, with the named type it leads to, when it does.
type referenceShape struct {
	Words, Type string
}

type referenceAnswer struct {
	Status, Doc string
	Shape       referenceShape
}

type referenceType struct {
	Name   string
	Fields []referenceField
}

type referenceProblem struct {
	Name, Title, Says string
	Status            int
}

// referencePage renders the description for people.
func (s *server) referencePage() ([]byte, error) {
	described := s.api.OpenAPI()
	view := reference{Title: described.Info.Title, Version: described.Info.Version, About: described.Info.Description}
	groups := map[string]*referenceGroup{}
	for _, path := range slices.Sorted(maps.Keys(described.Paths)) {
		for _, op := range operationsOf(described.Paths[path]) {
			tag := op.Tags[0]
			if groups[tag] == nil {
				groups[tag] = &referenceGroup{Tag: tag}
			}
			groups[tag].Operations = append(groups[tag].Operations, s.describe(op))
		}
	}
	for _, tag := range slices.Sorted(maps.Keys(groups)) {
		view.Groups = append(view.Groups, *groups[tag])
	}
	schemas := described.Components.Schemas.Map()
	for _, name := range slices.Sorted(maps.Keys(schemas)) {
		view.Types = append(view.Types, referenceType{Name: name, Fields: properties(schemas[name])})
	}
	for _, k := range kinds {
		view.Problems = append(view.Problems, referenceProblem{Name: k.name, Title: k.title, Says: k.says, Status: k.status})
	}
	var page bytes.Buffer
	err := referenceTemplates.ExecuteTemplate(&page, "reference", view)
	return page.Bytes(), err
}

// operationsOf lists the operations on a path, reading first.
func operationsOf(item *huma.PathItem) []*huma.Operation {
	var there []*huma.Operation
	for _, op := range []*huma.Operation{item.Get, item.Post, item.Put, item.Patch, item.Delete} {
		if op != nil {
			there = append(there, op)
		}
	}
	return there
}

func (s *server) describe(op *huma.Operation) referenceOperation {
	object, action, _ := meaning(op)
	view := referenceOperation{
		ID: op.OperationID, Method: op.Method, Path: op.Path, Summary: op.Summary, Details: op.Description, Object: string(object), Action: string(action),
		Public: s.Authorizer.Allowed([]policies.Role{policies.Visitor}, object, action, policies.Anywhere),
	}
	for _, p := range op.Parameters {
		view.Parameters = append(view.Parameters, referenceField{Name: p.Name, In: p.In, Doc: p.Description, Required: p.Required, Shape: shapeOf(p.Schema)})
	}
	if op.RequestBody != nil {
		view.Body = contentShape(op.RequestBody.Content)
	}
	for _, status := range slices.Sorted(maps.Keys(op.Responses)) {
		response := op.Responses[status]
		view.Answers = append(view.Answers, referenceAnswer{Status: status, Doc: response.Description, Shape: contentShape(response.Content)})
	}
	return view
}

// contentShape is the shape of a body; every body has one media type.
func contentShape(content map[string]*huma.MediaType) referenceShape {
	for _, media := range content {
		return shapeOf(media.Schema)
	}
	return referenceShape{}
}

// shapeOf puts a schema in words.
func shapeOf(schema *huma.Schema) referenceShape {
	switch {
	case schema == nil:
		return referenceShape{}
	case schema.Ref != "":
		name := schema.Ref[strings.LastIndex(schema.Ref, "/")+1:]
		return referenceShape{Words: name, Type: name}
	case schema.Type == huma.TypeArray:
		items := shapeOf(schema.Items)
		return referenceShape{Words: "list of " + items.Words, Type: items.Type}
	case len(schema.Enum) > 0:
		words := make([]string, len(schema.Enum))
		for i, value := range schema.Enum {
			words[i], _ = value.(string)
		}
		return referenceShape{Words: strings.Join(words, ", ")}
	}
	return referenceShape{Words: strings.TrimSpace(schema.Type + " " + schema.Format)}
}

// properties lists the fields of an object by name.
func properties(schema *huma.Schema) []referenceField {
	fields := make([]referenceField, 0, len(schema.Properties))
	for name, property := range schema.Properties {
		fields = append(fields, referenceField{
			Name: name, Doc: property.Description, Required: slices.Contains(schema.Required, name), Shape: shapeOf(property),
		})
	}
	slices.SortFunc(fields, func(a, b referenceField) int { return cmp.Compare(a.Name, b.Name) })
	return fields
}

// problemPage explains one kind of problem: it is what the type of a problem leads to.
func problemPage(c *gin.Context) {
	for _, k := range kinds {
		if k.name != c.Param("name") {
			continue
		}
		var page bytes.Buffer
		if err := referenceTemplates.ExecuteTemplate(&page, "problem", referenceProblem{Name: k.name, Title: k.title, Says: k.says, Status: k.status}); err != nil {
			panic(err) // the template is ours and was parsed at start
		}
		c.Data(http.StatusOK, "text/html; charset=utf-8", page.Bytes())
		return
	}
	writeProblem(c.Writer, notFound.problem(c.Request.Context(), "there is no such kind of problem"))
}
