#!/usr/bin/env bash
# An installation has its parts where others look for them; the library builds and runs a program of somebody else's.
# usage: check_install.sh CMAKE SOURCES BUILD
set -euo pipefail
cmake=$1 sources=$2 build=$3
place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT

"$cmake" --install "$build" --prefix "$place/usr" --component program >/dev/null
"$cmake" --install "$build" --prefix "$place/usr" --component library >/dev/null
for part in bin/tracehold share/man/man1/tracehold.1.gz share/man/man5/tracehold-formats.5.gz \
    share/man/man7/tracehold-measures.7.gz share/bash-completion/completions/tracehold share/zsh/vendor-completions/_tracehold \
    share/fish/vendor_completions.d/tracehold.fish share/doc/tracehold/README.md share/doc/tracehold/copyright \
    share/doc/tracehold/examples/plan-home-a.jsonc include/tracehold/read/recording.hpp; do
    [ -s "$place/usr/$part" ] || { echo "FAIL not installed: $part"; exit 1; }
done
"$place/usr/bin/tracehold" --version

"$place/usr/bin/tracehold" simulate "$sources/examples/scenarios/clinic-visit.json" --out "$place/visit" \
    --plan "$sources/examples/plan-clinic-reference.jsonc" 2>/dev/null
"$cmake" -S "$sources/examples/consumer" -B "$place/consumer" -DCMAKE_PREFIX_PATH="$place/usr" >/dev/null
"$cmake" --build "$place/consumer" >/dev/null
printed=$("$place/consumer/consumer" "$place"/visit/*.edf)
echo "$printed"
[ "$(wc -l <<<"$printed")" -eq 3 ] || { echo "FAIL saw $(wc -l <<<"$printed") lines, expected the 3 contractions of the visit"; exit 1; }
