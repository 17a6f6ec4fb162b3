# make help lists the targets.

OUT       := out/demo
CREEK     := examples/creek
PLAT      := examples/subdivision
SITE      := examples/site

# Flags for go test, such as -race or -v.
TESTFLAGS ?=
# How long each fuzz target runs.
FUZZTIME  ?= 5s

# The package whose rules `make mutate` breaks; those of .ci/mutate/scope where it is empty.
PACKAGE   ?=
# Flags for .ci/mutate, such as -n 60.
MUTATEFLAGS ?=

# Packages whose goroutines share memory.
RACED := ./terrain/raster ./zoning/trafficability ./zoning/mapping ./zoning/read

.PHONY: help demo picture site subdivision test race mutate lint bench build fuzz clean gdal

help: ## List the targets
	@grep -hE '^[a-z]+:.*## ' Makefile | sed 's/:.*## /\t/' | expand -t 10

demo: build ## Plan the job in examples/creek: 14 acres, a posted bridge, a creek bank
	bin/acreband map --elevation $(CREEK)/elevation.tif --parcel $(CREEK)/boundary.geojson --site $(CREEK)/site.geojson \
		--staging $(CREEK)/staging.geojson --travel $(CREEK)/travel.geojson --write geojson,png,sheet,pdf,map --out $(OUT)
	@test -s $(OUT)/zones.geojson && test -s $(OUT)/zones.png && test -s $(OUT)/sheet.pdf
	@echo
	@echo "Open $(OUT)/sheet.html in a browser, print $(OUT)/sheet.pdf for the truck, send $(OUT)/map.png to a phone."
	@echo "The zones for a GIS are in $(OUT)/zones.geojson. What the job is: $(CREEK)/README.md"

picture: demo ## Write the README's picture anew from the sheet that make demo made (needs poppler-utils)
	pdftoppm -r 100 -png -f 1 -l 1 -singlefile $(OUT)/sheet.pdf $(OUT)/page
	go run ./.ci/smallpng $(OUT)/page.png $(CREEK)/pictures/sheet.png

site: build ## Map the invented site, with everything that is drawn on it
	bin/acreband map --elevation $(SITE)/elevation.tif --parcel $(SITE)/boundary.geojson --site $(SITE)/site.geojson \
		--staging $(SITE)/staging.geojson --travel $(SITE)/travel.geojson --out out/site

subdivision: build ## Map every lot of the example subdivision
	bin/acreband lots --elevation $(PLAT)/elevation.tif --parcels $(PLAT)/lots.geojson --id lot --cover medium \
		--write lots.csv,zones.geojson,plan.csv,failed.csv,sheet.html --out out/subdivision
	@echo "Open out/subdivision/sheet.html to see what each lot needs; its figures are in lots.csv and plan.csv beside it"

test: gdal ## Run the tests (TESTFLAGS=-race adds the race detector)
	go test $(TESTFLAGS) ./...
	cd examples/cluster && go test $(TESTFLAGS) ./...

race: gdal ## The race detector on what shares memory between goroutines
	go test -race -short $(RACED)
	go test -race -run 'Same|AtOnce' ./zoning/sheet ./zoning/write ./terrain/quality
	go test -race -run 'Fault|Many|Long|Late|Cancel|Forgotten' ./cmd/acreband/internal/page
	go test -race -short -run 'Worker|Order|Resum|Stop' ./zoning/lots

mutate: gdal ## Break the rules of PACKAGE one by one and list what its tests do not notice
	go run ./.ci/mutate $(MUTATEFLAGS) $(PACKAGE)

lint: gdal ## gofmt, go vet, staticcheck, and the rooms kept free of cgo
	@unformatted=$$(gofmt -l .) && if [ -n "$$unformatted" ]; then \
		echo "gofmt -w these:" $$unformatted >&2; exit 1; fi
	go vet ./... ./.ci/mutate ./.ci/smallpng
	go tool -modfile=.ci/tools.mod staticcheck ./... ./.ci/mutate ./.ci/smallpng
	check=$$(go tool -modfile=.ci/tools.mod -n staticcheck) && cd examples/cluster && go vet ./... && $$check ./...
	.ci/imports
	.ci/examples

bench: gdal ## Whole runs against the floor and against GDAL's tools, then the kernels
	go run ./cmd/bench
	go test -run '^$$' -bench . ./slope ./zoning ./zoning/coverage

build: gdal ## Build bin/acreband
	go build -o bin/acreband ./cmd/acreband

fuzz: gdal ## Run every fuzz target for FUZZTIME (5s) each
	FUZZTIME=$(FUZZTIME) .ci/fuzz

clean: ## Remove what was built and written here
	rm -rf bin out

# Installs GDAL where it is missing and apt may be used.
gdal:
	@.ci/ensure-gdal
