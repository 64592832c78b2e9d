package qti

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/url"
	"path"
	"strings"

	"isthmus/assessment/strict"
)

// archive is a package whose files may be read: every name stays inside it, nothing unpacks beyond the limits.
type archive map[string]*zip.File

// unpack checks every file of a zip before any is read. The faults are of the package as a whole.
func unpack(data []byte) (archive, strict.Faults) {
	var faults strict.Faults
	if len(data) > MaxBytes {
		faults.Add("", "is larger than %d MB: export fewer items at a time", MaxBytes>>20)
		return nil, faults
	}
	reader, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil && !errors.Is(err, zip.ErrInsecurePath) { // names are checked below, with the file named
		faults.Add("", "is no zip that can be read: %v", err)
		return nil, faults
	}
	if len(reader.File) > maxFiles {
		faults.Add("", "holds more than %d files", maxFiles)
		return nil, faults
	}
	files := archive{}
	total := uint64(0)
	for _, f := range reader.File {
		name := strings.TrimSuffix(f.Name, "/")
		if !inside(name) {
			faults.Add(shorten(f.Name), "is a path that leads out of the package, or is not written plainly")
			continue
		}
		if f.FileInfo().IsDir() {
			continue
		}
		total += f.UncompressedSize64
		switch {
		case !f.Mode().IsRegular():
			faults.Add(shorten(f.Name), "is a link or a device, not a file")
		case f.Flags&1 != 0:
			faults.Add(shorten(f.Name), "is encrypted")
		case f.UncompressedSize64 > maxUnpacked || total > maxUnpacked:
			faults.Add(shorten(f.Name), "unpacks, with those before it, to more than %d MB", maxUnpacked>>20)
			return nil, faults
		case f.UncompressedSize64 > 64<<10 && f.UncompressedSize64 > maxRatio*f.CompressedSize64:
			faults.Add(shorten(f.Name), "unpacks to more than %d times its size: no text does", maxRatio)
		case files[name] != nil:
			faults.Add(shorten(f.Name), "is in the package twice")
		}
		files[name] = f
	}
	return files, faults
}

// inside reports whether a name is a plain path below the root: no step up, no drive, no backslash, no control character.
func inside(name string) bool {
	return fs.ValidPath(name) && name != "." && !strings.ContainsAny(name, "\\:") && carried(name) && !strings.ContainsAny(name, blanks[1:])
}

// read gives the bytes of a file, as many as a file of XML may have. A file that unpacks to more than the zip says, when its size was
// checked, is refused.
func (a archive) read(name string) ([]byte, error) {
	f := a[name]
	if f == nil {
		return nil, errors.New("is not in the package")
	}
	r, err := f.Open()
	if err != nil {
		return nil, fmt.Errorf("cannot be unpacked: %w", err)
	}
	defer r.Close()
	told := min(f.UncompressedSize64, maxXML)
	data, err := io.ReadAll(io.LimitReader(r, int64(told)+1))
	if err != nil {
		return nil, fmt.Errorf("cannot be unpacked: %w", err)
	}
	if told < maxXML && uint64(len(data)) > told {
		return nil, errors.New("unpacks to more than the package says")
	}
	return data, nil
}

// target is the file a manifest's href names; false for an address elsewhere or a path that leads out. Hrefs are relative to the root of
// the package (IMS Content Packaging 1.2), percent-encoded.
func target(href string) (string, bool) {
	u, err := url.Parse(href)
	if err != nil || u.Scheme != "" || u.Host != "" || strings.HasPrefix(u.Path, "/") {
		return "", false
	}
	name := path.Clean(u.Path)
	return name, inside(name)
}
