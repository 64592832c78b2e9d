# make test   installs what the tests need (Debian: PostgreSQL, Chromium, Node.js, Poppler, LibreOffice) and runs all of them; the race detector watches all
#             but the stories in the browser and those tests of api that do one thing after the other, which it would only slow (RACED names the others)
# make demo   the main job on invented data, with nothing installed but Go
# make lint   formatting, vet, staticcheck, type check of the browser code
# make bench  the benchmarks whose figures the notes give
# make fuzz   every fuzz target for FUZZTIME (default 30s)
# make reference  computes the check values of the statistics again with R and compares them with testdata/reference.json (Debian: r-base-core
#             and r-cran- jsonlite survival lme4 psych spc erm mass vcd psychotools); without R it says so, and fails only where CI is set
# make compare-speed  the statistics of 1,000 trainees x 300 cases here and in R, in turn, and how many times faster they are here
#             (at least 20 beside lme4, or it fails); what R needs, and what happens without it, is as of make reference

SHELL       := /bin/sh
STATICCHECK := honnef.co/go/tools/cmd/staticcheck@v0.8.2
FUZZTIME    := 30s
BENCH       := .
RACED       := Parallel|Double|Idempotency|Cohort|Item|Simulation|Import|PackAndTables|Quiz

.PHONY: test demo lint web-test bench fuzz reference compare-speed tools

test: tools lint web-test
	ISTHMUS_TEST_ALL=1 go test -race -timeout 30m $$(go list ./... | grep -v -e /cmd/isthmus$$ -e '^isthmus/api$$')
	ISTHMUS_TEST_ALL=1 go test -race -timeout 30m -run '$(RACED)' ./api
	ISTHMUS_TEST_ALL=1 go test -timeout 30m -p 1 ./api ./cmd/isthmus

demo:
	go run ./cmd/isthmus demo

tools:
	.tools/install

lint: tools
	@unformatted=$$(gofmt -l $$(git ls-files '*.go')); [ -z "$$unformatted" ] || { echo "not gofmt-ed: $$unformatted"; exit 1; }
	go vet ./...
	go run $(STATICCHECK) ./...
	.tools/node_modules/.bin/tsc --project web/jsconfig.json --noEmit

web-test: tools
	node --test web/test/*.test.js

bench:
	go test -run '^$$' -bench '$(BENCH)' -benchmem -count 5 ./assessment/... ./competency/... ./api/...

fuzz:
	@for dir in $$(grep -rl --include='*_test.go' 'func Fuzz' . | xargs -n1 dirname | sort -u); do \
		for target in $$(grep -rhoE 'func Fuzz[A-Za-z0-9]+' $$dir/*_test.go | sed 's/func //'); do \
			echo "$$dir $$target"; go test -run '^$$' -fuzz "^$$target$$" -fuzztime $(FUZZTIME) $$dir || exit 1; \
		done; \
	done

reference:
	@if ! command -v Rscript >/dev/null; then \
		echo "R is not installed: nothing was computed and nothing compared"; [ -z "$$CI" ]; \
	else \
		out=$$(mktemp) && Rscript testdata/reference.R "$$out" && \
		ISTHMUS_REFERENCE="$$out" go test ./competency/internal/published -count 1 -run '^TestComputedAgain$$' -v; \
		status=$$?; rm -f "$$out"; exit $$status; \
	fi

compare-speed:
	@if ! command -v Rscript >/dev/null; then \
		echo "R is not installed: nothing was compared"; [ -z "$$CI" ]; \
	else \
		ISTHMUS_SPEED=$(CURDIR)/testdata/speed.R go test ./competency/internal/published -count 1 -run '^TestCompareSpeed$$' -v; \
	fi
