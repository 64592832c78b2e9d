package api

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
	"isthmus/migrations"
)

// textColumns lists every table's columns that can hold text: all but numbers, times and truth values.
func (w *world) textColumns() map[string][]string {
	w.Helper()
	query := "SELECT table_name, column_name FROM information_schema.columns WHERE table_schema = 'public' AND data_type IN ('text', 'character varying', 'json', 'jsonb', 'bytea')"
	if w.store.Dialect() == migrations.SQLite {
		query = "SELECT m.name, c.name FROM sqlite_master m JOIN pragma_table_info(m.name) c WHERE m.type = 'table' AND m.name NOT LIKE 'sqlite_%'"
	}
	rows, err := w.store.DB().QueryContext(w.Context(), query)
	w.must(err)
	defer rows.Close()
	columns := map[string][]string{}
	for rows.Next() {
		var table, column string
		w.must(rows.Scan(&table, &column))
		columns[table] = append(columns[table], column)
	}
	w.must(rows.Err())
	return columns
}

// holding lists the columns of a table, or of all with an empty name, that hold a text anywhere.
func (w *world) holding(table, text string) []string {
	w.Helper()
	var found []string
	for name, columns := range w.textColumns() {
		if table != "" && name != table {
			continue
		}
		for _, column := range columns {
			var n int
			w.must(w.store.DB().QueryRowContext(w.Context(), fmt.Sprintf("SELECT COUNT(*) FROM %s WHERE CAST(%s AS text) LIKE '%%%s%%'", name, column, text)).Scan(&n))
			if n > 0 {
				found = append(found, name+"."+column)
			}
		}
	}
	slices.Sort(found)
	return found
}

// TestDatePrecision: in a programme that keeps weeks or months the day of an operation gets in nowhere: no table, no audit entry, no log,
// no answer.
func TestDatePrecision(t *testing.T) {
	const day = "2026-05-28"
	spellings := []string{day, "28 May", "28.05.2026", "28/05/2026", "28/05/26", "20260528"}
	for precision, coarse := range map[competency.Precision]string{competency.PrecisionWeek: "2026-W22", competency.PrecisionMonth: "2026-05"} {
		storetest.Each(t, func(t *testing.T, db *store.Store) {
			w := newWorld(t, db)
			w.keepDatesTo(precision)
			var replies []*reply
			ines, mei := w.as("ines"), w.as("mei")
			refused := func(r *reply) {
				replies = append(replies, r.want(422))
			}
			exact := biatrial()
			exact.OperatedOn = day
			refused(ines.do("POST", in("/cases"), map[string]any{"record": exact}, "Idempotency-Key", "exact"))
			refused(ines.do("POST", in("/cases?on="+day), map[string]any{"record": exact})) // an address is not logged either
			record := biatrial()
			record.OperatedOn = coarse
			made := ines.do("POST", in("/cases"), map[string]any{"record": record}, "Idempotency-Key", "coarse").want(201)
			path := made.header.Get("Location")
			refused(ines.do("PUT", path, map[string]any{"record": exact}, "If-Match", made.etag()))
			for _, spelt := range []string{"28.05.2026", "28/05/2026", "20260528", "28 May"} { // none of them a date as the programme keeps it
				exact.OperatedOn = spelt
				refused(ines.do("PUT", path, map[string]any{"record": exact}, "If-Match", made.etag()))
			}
			for _, spelt := range []string{day, "28 May", "28.05.2026", "28/05/26"} { // nor past the screen with an override
				noted := record
				noted.Note = "Done on " + spelt
				o := competency.Override{Field: "record.note", Kind: competency.KindDate, Excerpt: spelt, Reason: "it is of no one"}
				ines.do("PUT", path, map[string]any{"record": noted, "overrides": []competency.Override{o}}, "If-Match", made.etag()).want(422)
			}
			submitted := ines.do("POST", path+"/submission", nil, "If-Match", made.etag()).want(200)
			replies = append(replies, submitted, mei.do("POST", path+"/sign-off", statement(record), "If-Match", submitted.etag()).want(200), ines.do("GET", path, nil).want(200))

			if got := w.holding("cases", coarse); !slices.Contains(got, "cases.operated_on") || !slices.Contains(got, "cases.record") {
				t.Fatalf("the search does not find what is there: %v", got)
			}
			for _, spelt := range spellings {
				if found := w.holding("", spelt); len(found) > 0 {
					t.Errorf("%s: %s is in %v", precision, spelt, found)
				}
				if bytes.Contains(w.log.Bytes(), []byte(spelt)) {
					t.Errorf("%s: %s is in the log", precision, spelt)
				}
				for _, r := range replies {
					if bytes.Contains(r.body, []byte(spelt)) {
						t.Errorf("%s: %s is in the answer to %s: %s", precision, spelt, r.request, r.body)
					}
				}
			}
		})
	}
}

// keepDatesTo sets the precision of north's operation dates.
func (w *world) keepDatesTo(precision competency.Precision) {
	w.Helper()
	settings := competency.Defaults()
	settings.DatePrecision = precision
	text, err := json.Marshal(settings)
	w.must(err)
	_, err = w.store.DB().ExecContext(w.Context(), "UPDATE programmes SET settings = '"+string(text)+"' WHERE id = 'north'")
	w.must(err)
}

// TestFreeTextIsNotLogged: whatever is written in a note or a reason, refused or kept, the log has none of it.
func TestFreeTextIsNotLogged(t *testing.T) {
	w := newWorld(t, storetest.Open(t, migrations.SQLite))
	record := biatrial()
	record.Note = "An unmistakable sentence."
	path, etag := w.submitted(record)
	w.as("mei").do("POST", path+"/return", map[string]any{"reason": "An unmistakable reason."}, "If-Match", etag).want(200)
	record.Note = "An unmistakable number, MRN 0048213."
	w.as("ines").do("POST", in("/cases"), map[string]any{"record": record}).want(422)
	w.as("ines").do("POST", in("/cases"), `{"record": {"note": "An unmistakable break`).want(400)
	w.as("ines").do("POST", in("/cases"), map[string]any{"record": map[string]any{"unmistakable": "An unmistakable field."}}).want(422)
	if w.log.Len() == 0 || bytes.Contains(bytes.ToLower(w.log.Bytes()), []byte("unmistakable")) || bytes.Contains(w.log.Bytes(), []byte("0048213")) {
		t.Errorf("the log: %s", w.log)
	}
}

// TestNoAgeOfAPatient: nothing takes the age of a real patient, so there is none over 89 to be banded (45 CFR 164.514(b)(2)(i)(C)). What
// the description calls an age is a fictional patient's, or counts the days since an operation.
func TestNoAgeOfAPatient(t *testing.T) {
	w := newWorld(t, storetest.Open(t, migrations.SQLite))
	var description struct {
		Components struct {
			Schemas map[string]struct {
				Properties map[string]any `json:"properties"`
			} `json:"schemas"`
		} `json:"components"`
	}
	w.must(json.Unmarshal(w.server.description, &description))
	fictional := map[string]bool{"AssessmentPatient": true}
	fields, ages := 0, 0
	for name, schema := range description.Components.Schemas {
		for field := range schema.Properties {
			fields++
			parts := strings.Split(field, "_")
			if !slices.Contains(parts, "age") && !slices.Contains(parts, "ages") && !slices.Contains(parts, "birth") && !slices.Contains(parts, "born") {
				continue
			}
			ages++
			if !fictional[name] && field != "age_days" {
				t.Errorf("%s.%s takes an age: is it a patient's?", name, field)
			}
		}
	}
	if fields < 100 || ages == 0 {
		t.Errorf("%d fields, %d ages: the description was not read", fields, ages)
	}
}
