package main

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"os"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"testing/fstest"
	"time"

	"isthmus/web"
)

// unreliable is a network between browser and server: it drops requests before they arrive and answers on their way back.
type unreliable struct {
	next    http.Handler
	drops   atomic.Int64 // of 100 requests, so many do not arrive, and as many answers are lost
	noWrite atomic.Bool  // whatever would change something does not arrive
	other   atomic.Pointer[http.Handler]
	dropped atomic.Int64
	lost    atomic.Int64
}

// ServeHTTP passes a request on, or not.
func (u *unreliable) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	if other := u.other.Load(); other != nil && !strings.HasPrefix(r.URL.Path, "/api/") {
		(*other).ServeHTTP(w, r)
		return
	}
	writes := r.Method != http.MethodGet && (strings.Contains(r.URL.Path, "/cases") || strings.HasSuffix(r.URL.Path, "/plans"))
	fate := rand.Int64N(100)
	switch drops := u.drops.Load(); {
	case writes && u.noWrite.Load(), fate < drops:
		u.dropped.Add(1)
		panic(http.ErrAbortHandler)
	case fate < 2*drops:
		u.lost.Add(1)
		u.next.ServeHTTP(httptest.NewRecorder(), r)
		panic(http.ErrAbortHandler)
	}
	u.next.ServeHTTP(w, r)
}

// serveUnreliably serves a demo behind such a network, which is good until told otherwise.
func serveUnreliably(t *testing.T) (string, *unreliable) {
	t.Helper()
	network := &unreliable{}
	base, _ := serveDemoAs(t, wallClock, func(handler http.Handler) http.Handler { network.next = handler; return network })
	return base, network
}

// ready waits until the application opens without a network: the device has the build, and what cases are entered with.
func (v *visitor) ready() {
	v.t.Helper()
	eval[string](v, "navigator.serviceWorker.ready.then(() => 'yes')")
	v.visit("/")
	v.see("What to do next")
	if controlled := eval[bool](v, "Boolean(navigator.serviceWorker.controller)"); !controlled {
		v.t.Fatal("the service worker does not control the page")
	}
	for deadline := time.Now().Add(patience); !eval[bool](v, haveReference); time.Sleep(200 * time.Millisecond) {
		if time.Now().After(deadline) {
			v.t.Fatal("what cases are entered with did not come onto the device")
		}
	}
}

// haveReference tells whether the people to choose from and the scenarios are on the device.
var haveReference = app("lib/reference.js", `r => `+app("lib/database.js", `async d => {
	const keys = await (await d.database(r.here.name)).getAllKeys("reference");
	return keys.some(key => key.includes("/people?role=faculty")) && keys.some(key => /scenarios.[a-z]/.test(key)); }`))

// app is an expression that gives something a module of the page exports.
func app(module, then string) string {
	return `import(document.querySelector("script[type=module]").src.replace("main.js", "` + module + `")).then(` + then + `)`
}

// enter keeps a case with this note in the queue, as the form does, and gives its id.
func (v *visitor) enter(record map[string]any, note, then string) string {
	v.t.Helper()
	own := map[string]any{}
	for field, value := range record {
		own[field] = value
	}
	own["note"] = note
	text, err := json.Marshal(map[string]any{"record": own})
	if err != nil {
		v.t.Fatal(err)
	}
	return eval[string](v, app("parts/outbox.js", fmt.Sprintf(`m => m.enqueue("case", %s, {name: %q, then: %q}).then(kept => kept.id)`, text, note, then)))
}

// waits counts what waits in the queue of who is signed in.
func (v *visitor) waits() int {
	v.t.Helper()
	return eval[int](v, app("parts/outbox.js", "m => m.unsent().then(left => left.waiting)"))
}

// sendAll sends what waits, where it has not gone by itself already.
func (v *visitor) sendAll() {
	v.t.Helper()
	eval[int](v, app("parts/outbox.js", "m => m.sendNow().then(() => 1)"))
	v.see("Nothing waits")
}

// ownRecord is the record of a case of the person's that is whole.
func (v *visitor) ownRecord() map[string]any {
	v.t.Helper()
	return eval[map[string]any](v, `(async () => {
		const session = await (await fetch("/api/session")).json(), base = "/api/programmes/" + session.memberships[0].programme;
		const list = await (await fetch(base + "/cases?status=signed-off&trainee=" + session.person.id)).json();
		return (await (await fetch(base + "/cases/" + list.items[0].id)).json()).case.record; })()`)
}

// stored is a case as the server lists it.
type stored struct {
	ID     string `json:"id"`
	Status string `json:"status"`
}

// stored gives the person's own cases as the server has them, oldest first.
func (v *visitor) stored() []stored {
	v.t.Helper()
	list := eval[[]stored](v, `(async () => {
		const session = await (await fetch("/api/session")).json(), all = [];
		for (let after = ""; after !== undefined;) {
			const page = await (await fetch("/api/programmes/" + session.memberships[0].programme + "/cases?limit=200&trainee=" + session.person.id + (after && "&after=" + after))).json();
			all.push(...page.items); after = page.next; }
		return all; })()`)
	slices.Reverse(list)
	return list
}

// TestCasesWithoutNetwork enters 100 cases while the network drops and returns at random and the application is opened anew in between:
// the server has exactly these 100 in the end, in order, none twice.
func TestCasesWithoutNetwork(t *testing.T) {
	base, network := serveUnreliably(t)
	v := newVisitor(t, openBrowser(t), base, 390)
	signIn(v, "ines")
	v.see("What to do next")
	v.ready()
	record, before := v.ownRecord(), len(v.stored())
	network.drops.Store(15)
	chance := rand.New(rand.NewPCG(1, 100))
	ids, submitted, off, reloads := []string{}, map[string]bool{}, false, 0
	for n := range 100 {
		if chance.IntN(100) < 20 {
			off = !off
			v.offline(off)
		}
		then := ""
		if n%3 == 0 {
			then = "submit"
		}
		id := v.enter(record, fmt.Sprintf("Entry %d of a hundred.", n+1), then)
		ids, submitted[id] = append(ids, id), then != ""
		if chance.IntN(100) < 12 {
			reloads++
			v.visit([]string{"/waiting", "/cases", "/"}[reloads%3])
			v.see("Ines Haddad") // who is signed in is known
		}
	}
	v.offline(true)
	v.visit("/waiting")
	v.see("Waiting to be sent")
	v.audit("waiting without network")
	left := v.waits()
	v.offline(false)
	for tries := 0; tries < 60 && v.waits() > 0; tries++ { // the network is back, and no better than before
		eval[int](v, app("parts/outbox.js", "m => m.sendNow().then(() => 1)"))
		if tries%10 == 9 {
			reloads++
			v.visit("/waiting")
			v.see("Ines Haddad")
		}
	}
	network.drops.Store(0)
	v.sendAll()
	got := []string{}
	all := v.stored()
	for _, one := range all {
		if slices.Contains(ids, one.ID) {
			got = append(got, one.ID)
			if submitted[one.ID] != (one.Status == "submitted") {
				t.Errorf("%s is %s", one.ID, one.Status)
			}
		}
	}
	if len(all) != before+100 || !slices.Equal(got, ids) {
		t.Errorf("%d cases before, %d after; %d of the 100 in order:\n%v\n%v", before, len(all), len(got), got, ids)
	}
	t.Logf("%d reloads, %d requests and %d answers lost, %d still waited at the end", reloads, network.dropped.Load(), network.lost.Load(), left)
}

// nextBuild is this build with one more step of the database.
func nextBuild(t *testing.T) http.Handler {
	t.Helper()
	changed := fstest.MapFS{}
	if err := copyInto(changed, os.DirFS("../../web")); err != nil {
		t.Fatal(err)
	}
	const file, last = "js/lib/database.js", "\n];\n\nconst start"
	source := string(changed[file].Data)
	if !strings.Contains(source, last) {
		t.Fatal("the steps of the database are not where this test looks for them")
	}
	step := "\n  db => { db.createObjectStore(\"later\"); }," + last
	changed[file] = &fstest.MapFile{Data: []byte(strings.Replace(source, last, step, 1))}
	handler, err := web.HandlerOf(changed, web.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return handler
}

// copyInto copies every file of a folder.
func copyInto(to fstest.MapFS, from fs.FS) error {
	return fs.WalkDir(from, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		data, err := fs.ReadFile(from, name)
		to[name] = &fstest.MapFile{Data: data}
		return err
	})
}

// TestUpdateKeepsQueue changes the build, and with it the database, while cases wait: they are sent by the newer one. Going back to the
// older build, whose database is older too, loses nothing either.
func TestUpdateKeepsQueue(t *testing.T) {
	base, network := serveUnreliably(t)
	v := newVisitor(t, openBrowser(t), base, 1280)
	signIn(v, "ines")
	v.see("What to do next")
	v.ready()
	record, before := v.ownRecord(), len(v.stored())
	network.noWrite.Store(true)
	ids := []string{}
	for n := range 3 {
		ids = append(ids, v.enter(record, fmt.Sprintf("Entry %d before the change.", n+1), ""))
	}
	first := v.build()
	next := nextBuild(t)
	network.other.Store(&next)
	v.visit("/waiting")
	v.see("A newer version of Isthmus is ready")
	v.audit("a newer version")
	v.changeBuild(first)
	v.see("3 things wait")
	second := v.build()
	ids = append(ids, v.enter(record, "Entry 4 after the change.", ""))
	network.noWrite.Store(false)
	v.sendAll()
	network.other.Store(nil) // the operator goes back to the build before
	network.noWrite.Store(true)
	ids = append(ids, v.enter(record, "Entry 5 before going back.", ""))
	v.visit("/waiting")
	v.see("A newer version of Isthmus is ready")
	v.changeBuild(second)
	if got := v.build(); got != first {
		t.Errorf("the build is %s, want %s", got, first)
	}
	v.see("Entry 5 before going back")
	network.noWrite.Store(false)
	v.sendAll()
	all := v.stored()
	got := []string{}
	for _, one := range all[before:] {
		got = append(got, one.ID)
	}
	if !slices.Equal(got, ids) {
		t.Errorf("stored %v, want %v", got, ids)
	}
}

// build is where the files of the page come from.
func (v *visitor) build() string {
	v.t.Helper()
	return eval[string](v, `new URL(document.querySelector("script[type=module]").src).pathname`)
}

// changeBuild lets the newer build take over, and waits until the page is of it.
func (v *visitor) changeBuild(from string) {
	v.t.Helper()
	v.press("Change to it")
	const build = `(main => (main ? new URL(main.src).pathname : ""))(document.querySelector("script[type=module]"))`
	for deadline := time.Now().Add(3 * patience); slices.Contains([]string{"", from}, eval[string](v, build)); time.Sleep(200 * time.Millisecond) { // the browser lets the older one end its work first
		if time.Now().After(deadline) {
			v.t.Fatal("the newer build did not take over")
		}
	}
	v.see("Waiting to be sent")
}

// TestAnotherPersonOnTheDevice signs another person in while cases of the first wait: nothing of them is to be seen, and they are sent
// once the first is back. Signing out warns of what was not sent, and then leaves nothing on the device.
func TestAnotherPersonOnTheDevice(t *testing.T) {
	base, network := serveUnreliably(t)
	v := newVisitor(t, openBrowser(t), base, 390)
	signIn(v, "ines")
	v.see("What to do next")
	record, before := v.ownRecord(), len(v.stored())
	network.noWrite.Store(true)
	id := v.enter(record, "Entered by the first person.", "")
	eval[int](v, `fetch("/api/session", {method: "DELETE"}).then(answer => answer.status)`) // the session ends, as after a night
	signIn(v, "kofi")
	v.see("What to do next")
	v.visit("/waiting")
	v.see("Nothing waits")
	if text := eval[string](v, "document.body.innerText"); strings.Contains(text, "first person") || v.waits() != 0 {
		t.Errorf("the second person sees the first one's: %s", text)
	}
	v.visit("/account")
	v.press("Sign out")
	v.see("Password")
	signIn(v, "ines")
	v.see("1 thing waits to be sent")
	network.noWrite.Store(false)
	v.visit("/waiting")
	v.see("Nothing waits")
	if all := v.stored(); len(all) != before+1 || all[before].ID != id {
		t.Errorf("stored %v", all)
	}
	network.noWrite.Store(true)
	v.enter(record, "Never sent.", "")
	v.visit("/account")
	v.press("Sign out")
	v.see("Signing out deletes 1 thing that was not sent yet from this device")
	v.audit("leaving")
	v.press("Sign out and delete")
	v.see("Password")
	for deadline := time.Now().Add(patience); ; time.Sleep(100 * time.Millisecond) {
		left := eval[string](v, "indexedDB.databases().then(all => all.map(one => one.name).join())")
		if left == "" {
			break
		}
		if time.Now().After(deadline) {
			v.t.Fatalf("the device keeps %s", left)
		}
	}
	if kept := eval[string](v, "JSON.stringify(Object.keys(localStorage).filter(name => name !== 'programme'))"); kept != "[]" {
		t.Errorf("the device keeps %s", kept)
	}
	network.noWrite.Store(false)
	signIn(v, "ines")
	v.see("What to do next")
	if all := v.stored(); len(all) != before+1 {
		t.Errorf("%d cases, want %d", len(all), before+1)
	}
}
