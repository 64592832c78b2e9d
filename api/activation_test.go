package api

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"testing"

	"isthmus/api/service"
	"isthmus/api/store/storetest"
	"isthmus/assessment/atrium"
	"isthmus/competency"
)

// TestActivation gives the model's map with its caution, for every member; a faulty set is refused with the field named.
func TestActivation(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	set := competency.LesionSetOf(biatrial())
	var got service.ActivationMap
	w.as("jonas").do("POST", in("/activation"), set).want(200).into(&got)
	want, err := atrium.Default().Activation(set)
	w.must(err)
	if len(got.Chambers) != 2 || got.Caution != atrium.Caution {
		t.Fatalf("%d chambers, caution %q", len(got.Chambers), got.Caution)
	}
	for i, chamber := range got.Chambers {
		if chamber.Chamber != want[i].Chamber || len(chamber.Triangles) != len(want[i].Triangles) || len(chamber.TimesMS) != len(want[i].TimesMS) {
			t.Errorf("%s: %d triangles, %d times, want %d and %d", chamber.Chamber, len(chamber.Triangles), len(chamber.TimesMS), len(want[i].Triangles), len(want[i].TimesMS))
		}
	}
	w.as("ines").do("POST", in("/activation"), `{"lesions":[],"left_atrium_diameter_mm":4000}`).want(422)
}

// TestZipping compresses what the model answers, for callers that take it, and nothing else. A map must come quickly over a slow
// network: at most 150 kB.
func TestZipping(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	plain := w.as("ines").do("POST", in("/activation"), `{"lesions":[]}`).want(200).body
	zipped := w.as("ines").do("POST", in("/activation"), `{"lesions":[]}`, "Accept-Encoding", "br, gzip;q=0.8").want(200)
	reader, err := gzip.NewReader(bytes.NewReader(zipped.body))
	w.must(err)
	unzipped, err := io.ReadAll(reader)
	w.must(err)
	if !bytes.Equal(unzipped, plain) || !json.Valid(plain) || len(zipped.body) > 150<<10 {
		t.Errorf("%d bytes, zipped %d, unzipped %d", len(plain), len(zipped.body), len(unzipped))
	}
	t.Logf("an activation map: %d bytes, zipped %d", len(plain), len(zipped.body))
	refused := w.as("ines").do("POST", in("/activation"), `{"lesions":7}`, "Accept-Encoding", "gzip").want(422)
	if !json.Valid(refused.body) {
		t.Errorf("a problem must pass as it is: %.40q", refused.body)
	}
	for _, one := range []struct {
		method, target, accept string
	}{
		{http.MethodPost, "/x/activation", "gzip;q=0, identity"}, {http.MethodPost, "/x/activation", ""}, {http.MethodGet, "/x/activation", "gzip"}, {http.MethodPost, "/x/plans", "gzip"},
	} {
		recorder, request := httptest.NewRecorder(), httptest.NewRequest(one.method, one.target, nil)
		request.Header.Set("Accept-Encoding", one.accept)
		zipping(http.HandlerFunc(func(rw http.ResponseWriter, _ *http.Request) { _, _ = rw.Write([]byte("{}")) })).ServeHTTP(recorder, request)
		if recorder.Body.String() != "{}" || recorder.Header().Get("Content-Encoding") != "" {
			t.Errorf("%+v: %q, coded %q", one, recorder.Body, recorder.Header().Get("Content-Encoding"))
		}
	}
}
