# make run      flies the demonstration and prints the hot wash
# make station  opens the window in which you fly yourself
# make test     the everyday suite, under ten minutes on two cores
# make help     the rest

GO ?= go
LEAST = 1.26
FLAGS = -buildvcs=false

.PHONY: run station test test-all build help go-version packages reference breaks bench fuzz

run: build ## fly the demonstration and print the hot wash
	@bin/lapwing fly drift-in-hold --pilot trained --seed 7 --out run || test $$? -eq 1
	@echo; echo "The program is bin/lapwing; with bin on your PATH, lapwing is enough."

build: go-version ## build bin/lapwing
	@CGO_ENABLED=0 $(GO) build $(FLAGS) -o bin/lapwing ./cmd/lapwing

station: go-version ## build bin/lapwing-station and fly it yourself in a window
	@[ "$$(uname)" != Linux ] || .ci/window-builds || .ci/packages
	@[ "$$(uname)" != Linux ] || .ci/window-builds || { echo "The station is built with a C compiler and the headers of OpenGL, X11 and ALSA, and they are not all here. On Debian-like systems: sudo apt-get install gcc libc6-dev pkg-config libgl-dev libx11-dev libxrandr-dev libxinerama-dev libxcursor-dev libxi-dev libxxf86vm-dev libasound2-dev. Elsewhere install the packages that hold GL/gl.h, X11/Xlib.h, X11/extensions/Xrandr.h, Xinerama.h, XInput2.h, xf86vmode.h, X11/Xcursor/Xcursor.h and alsa/asoundlib.h."; exit 2; }
	@CGO_ENABLED=1 $(GO) build $(FLAGS) -o bin/lapwing-station ./cmd/lapwing-station
	@bin/lapwing-station

test: go-version packages ## the everyday suite, shuffled, with the race detector where goroutines run
	@.ci/test everyday

test-all: test ## the everyday suite, then the slow lanes: references, other processors, breaks, fuzzing
	@.ci/packages reference
	@.ci/test slow

reference: go-version ## compare with SciPy and Octave: rigid body, contact, filter, statistics, margins
	@.ci/packages reference
	$(GO) test $(FLAGS) -count=1 -v -run Reference ./dynamics/... ./sim/...

breaks: go-version ## break the code on purpose, in some forty ways, and show which test catches each
	LAPWING_BREAKS=1 $(GO) test $(FLAGS) -count=1 -v -timeout 30m -run '^TestBreaks' ./cmd

bench: go-version ## benchmarks; compare two runs with benchstat
	$(GO) test $(FLAGS) -run '^$$' -bench . -benchmem -count=10 ./dynamics/... ./sim/...

fuzz: go-version ## fuzz the readers for a while
	$(GO) test $(FLAGS) -run '^$$' -fuzz FuzzRead -fuzztime 60s ./scenarios

go-version:
	@command -v $(GO) >/dev/null || { echo "Lapwing needs Go $(LEAST) or newer, and no 'go' was found: get it from https://go.dev/dl, unpack it and put its bin folder on your PATH."; exit 2; }
	@have=$$($(GO) env GOVERSION | sed 's/^go//'); \
	printf '%s\n%s\n' "$(LEAST)" "$$have" | sort -CV || { echo "Lapwing needs Go $(LEAST) or newer and this is Go $$have: get it from https://go.dev/dl, unpack it and put its bin folder first on your PATH."; exit 2; }

packages:
	@.ci/packages

help: ## what can be made
	@grep -hE '^[a-z-]+:.*##' $(MAKEFILE_LIST) | sed -E 's/^([a-z-]+):.*## /\1\t/' | expand -t 12
