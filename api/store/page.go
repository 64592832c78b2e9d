package store

import (
	"encoding/base64"
	"strconv"
	"strings"
	"time"

	"gorm.io/gorm"
)

// Page asks for a part of a list.
type Page struct {
	Limit int    // 0 means 50; at most 200
	After string // the cursor an earlier page ended with; empty for the first
}

const (
	usualPage = 50
	mostPage  = 200
)

// size is the number of items to give.
func (p Page) size() int {
	if p.Limit <= 0 {
		return usualPage
	}
	return min(p.Limit, mostPage)
}

// pageOf converts the rows of a page, which were asked for with one to spare, and gives the cursor of the next page when there is one.
// A list without items is empty, not nil.
func pageOf[Row, Item any](rows []Row, page Page, convert func(Row) Item, cursor func(Row) string) ([]Item, string, error) {
	items, next, err := tryPageOf(rows, page, func(r Row) (Item, error) { return convert(r), nil }, cursor)
	return items, next, err
}

// tryPageOf is pageOf for a conversion that can fail.
func tryPageOf[Row, Item any](rows []Row, page Page, convert func(Row) (Item, error), cursor func(Row) string) ([]Item, string, error) {
	next := ""
	if len(rows) > page.size() {
		rows = rows[:page.size()]
		next = cursor(rows[len(rows)-1])
	}
	items := make([]Item, len(rows))
	for i, row := range rows {
		item, err := convert(row)
		if err != nil {
			return nil, "", err
		}
		items[i] = item
	}
	return items, next, nil
}

// newestFirst orders a query by a time column and the id, both of which never change, and starts after the cursor. Rows added
// meanwhile come before the first page, so no later page repeats or misses one.
func newestFirst(query *gorm.DB, timeColumn, idColumn string, page Page) (*gorm.DB, error) {
	if page.After != "" {
		at, id, err := readCursor(page.After)
		if err != nil {
			return nil, err
		}
		query = query.Where("("+timeColumn+", "+idColumn+") < (?, ?)", at, id)
	}
	return query.Order(timeColumn + " DESC, " + idColumn + " DESC").Limit(page.size() + 1), nil
}

// cursorAt is the cursor that continues after the row with this time and id.
func cursorAt(at time.Time, id string) string {
	return base64.RawURLEncoding.EncodeToString([]byte(strconv.FormatInt(at.UnixMicro(), 10) + " " + id))
}

// readCursor reads what cursorAt wrote. The error is ErrCursor.
func readCursor(cursor string) (time.Time, string, error) {
	text, err := base64.RawURLEncoding.DecodeString(cursor)
	if err != nil {
		return time.Time{}, "", ErrCursor
	}
	micro, id, found := strings.Cut(string(text), " ")
	at, err := strconv.ParseInt(micro, 10, 64)
	if !found || err != nil || id == "" {
		return time.Time{}, "", ErrCursor
	}
	return time.UnixMicro(at).UTC(), id, nil
}
