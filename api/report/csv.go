package report

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"strconv"
	"time"

	"isthmus/competency/casefile"
)

// CSV writes tables as one CSV file a sheet, in a ZIP: UTF-8 with a mark that spreadsheets know it by, days and times as RFC 3339 writes
// them, shares from 0 to 1. No text can be taken for a formula. The same tables give the same bytes.
func CSV(b Book, code string) ([]byte, error) {
	if err := b.Check(); err != nil {
		return nil, err
	}
	var out bytes.Buffer
	files := zip.NewWriter(&out)
	for _, sheet := range b.whole(code) {
		file, err := files.CreateHeader(&zip.FileHeader{Name: sheet.Name + ".csv", Method: zip.Deflate, Modified: b.Made.UTC().Truncate(2 * time.Second)})
		if err != nil {
			return nil, err
		}
		if _, err := file.Write([]byte("\xef\xbb\xbf")); err != nil {
			return nil, err
		}
		lines := csv.NewWriter(file)
		row := make([]string, len(sheet.Fields))
		for i, f := range sheet.Fields {
			row[i] = casefile.Guarded(f.Name)
		}
		if err := lines.Write(row); err != nil {
			return nil, err
		}
		for _, values := range sheet.Rows {
			for i, value := range values {
				row[i] = written(sheet.Fields[i].Type, value)
			}
			if err := lines.Write(row); err != nil {
				return nil, err
			}
		}
		lines.Flush()
		if err := lines.Error(); err != nil {
			return nil, err
		}
	}
	if err := files.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// written is a value as text.
func written(t Type, value any) string {
	switch v := value.(type) {
	case string:
		return casefile.Guarded(v)
	case int:
		return strconv.Itoa(v)
	case float64:
		return strconv.FormatFloat(v, 'g', -1, 64)
	case bool:
		return strconv.FormatBool(v)
	case time.Time:
		if t == Day {
			return v.UTC().Format(time.DateOnly)
		}
		return v.UTC().Format(time.RFC3339)
	}
	return ""
}
