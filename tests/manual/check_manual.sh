#!/usr/bin/env bash
# The manual pages are well formed and name every option of --help; the completions really complete.
# usage: check_manual.sh TRACEHOLD MANUAL-FOLDER
# Everything here is checked; where mandoc, fish or zsh is missing the rest is, and the end is 77 (skipped).
set -uo pipefail
tool=$1 manual=$2 failures=0 skipped=0
PATH="$(dirname "$tool"):$PATH"
check() { if [ "$2" = "$3" ]; then echo "ok   $1"; else echo "FAIL $1: saw '$2', expected '$3'"; failures=$((failures + 1)); fi; }
have() { command -v "$1" >/dev/null || { echo "skipped: no $1"; skipped=77; return 1; }; }

if have mandoc; then
    for page in "$manual"/*.[1-8]; do
        check "mandoc on $(basename "$page")" "$(mandoc -Tlint -Wwarning "$page")" ""
    done
    text=$(mandoc -Tutf8 "$manual/tracehold.1" | col -b)
    for command in inspect score course audit export verify 'plan check' 'plan threshold' 'plan sheet' 'key new' explain schema simulate selfcheck; do
        for option in $(tracehold $command --help | grep -oE '^ +(-[a-z],)?--[a-z-]+' | grep -oE -- '--[a-z-]+'); do
            grep -qF -- "$option" <<<"$text" || check "option of $command in tracehold(1)" missing "$option"
        done
    done
    for line in 'plan sheet [options] INPUT' 'plan check [options] INPUT...' 'key new [options] [FILE]' 'explain [options] [MEASURE]'; do
        grep -qxF "tracehold $line" <<<"${text//       tracehold/tracehold}" || check "the synopsis" missing "$line"
    done
    environment=$(sed -n '/^ENVIRONMENT/,/^CAVEATS/p' <<<"$text")
    for variable in NO_COLOR TERM SOURCE_DATE_EPOCH XDG_CONFIG_HOME HOME; do
        grep -qE "^ *$variable( |\$)" <<<"$environment" || check "the environment" missing $variable
    done
    text=$(mandoc -Tutf8 "$manual/tracehold-formats.5" | col -b)
    grep -q '^WHAT MAY CHANGE' <<<"$text" || check "the promise in tracehold-formats(5)" missing there
    for name in $(tracehold schema); do
        id=$(tracehold schema "$name" | grep -oE '"urn:tracehold:[a-z-]+:[0-9]+"' | tr -d '"' || true)
        [ -z "$id" ] || grep -qE "^ *tracehold\.$name/${id##*:}$" <<<"$text" || check "schema in tracehold-formats(5)" missing "$name"
    done
    text=$(mandoc -Tutf8 "$manual/tracehold-measures.7" | col -b)
    for key in $(tracehold explain | grep -oE '^ *[a-z_0-9]+_?[a-z0-9]+ ' | tr -d ' ' | grep _); do
        grep -qF "$key" <<<"$text" || check "measure in tracehold-measures(7)" missing "$key"
    done
fi

# words typed after 'tracehold', the last one unfinished -> what is offered, in one line
by_bash() {
    bash -c 'source "$1"; shift; COMP_WORDS=(tracehold "$@"); COMP_CWORD=$#; _tracehold; echo "${COMPREPLY[*]}"' _ \
        "$manual/tracehold.bash" "$@" 2>/dev/null
}
check "bash: a command" "$(by_bash sco)" score
check "bash: an option" "$(by_bash score --acc)" --accessory
check "bash: the words of an option" "$(by_bash score --format nd)" ndjson
check "bash: a command of a command" "$(by_bash plan th)" threshold
check "bash: an option of that" "$(by_bash plan threshold --perc)" --percent
check "bash: the command of another" "$(by_bash key n)" new
check "bash: an option of several commands" "$(by_bash audit --dry)" --dry-run
check "bash: a measure" "$(by_bash explain release_)" "$(tracehold explain | grep -oE 'release_[a-z0-9_]+' | sort -u | tr '\n' ' ' | sed 's/ $//')"
check "bash: a word of a course" "$(by_bash explain adherence_)" "$(tracehold explain | grep -oE '^ *adherence_[a-z0-9_]+' | tr -d ' ' | sort -u | tr '\n' ' ' | sed 's/ $//')"
check "bash: the table of questions" "$(by_bash explain rule)" rules
check "bash: a value behind a sign" "$(by_bash score --format = nd)" ndjson
check "bash: all values behind a sign" "$(by_bash score --identity =)" "keep pseudonym anonymous"
check "bash: no word that stands for another" "$(by_bash audit --by '')" "month site"
for key in $(bash -c 'source "$1"; COMP_WORDS=(tracehold explain ""); COMP_CWORD=2; _tracehold; echo "${COMPREPLY[*]}"' _ "$manual/tracehold.bash"); do
    tracehold explain "$key" >/dev/null || check "what is completed is explained" refused "$key"
done
check "bash: a schema" "$(by_bash schema sessio)" session
check "bash: nothing after a number" "$(by_bash score --rate 1)" ""
check "bash: a file" "$(cd "$manual" && by_bash score --plan tracehold.1)" tracehold.1

if have fish; then
    by_fish() { fish --no-config -c "source '$manual/tracehold.fish'; complete -C '$1'" 2>/dev/null | cut -f1 | tr '\n' ' ' | sed 's/ $//'; }
    check "fish: a command" "$(by_fish 'tracehold sco')" score
    check "fish: an option" "$(by_fish 'tracehold score --acc')" --accessory
    check "fish: the words of an option" "$(by_fish 'tracehold score --format nd')" ndjson
    check "fish: a value behind a sign" "$(by_fish 'tracehold score --format=nd')" "--format=ndjson"
    check "fish: a word of a course" "$(by_fish 'tracehold explain hold_of_ref')" hold_of_reference_pct
    check "fish: a command of a command" "$(by_fish 'tracehold plan th')" threshold
    check "fish: an option of that" "$(by_fish 'tracehold plan threshold --perc')" --percent
    check "fish: the command of another" "$(by_fish 'tracehold key n')" new
fi

if have zsh; then
    by_zsh() { timeout 30 zsh -f "$(dirname "$0")/zsh_line_after_tab.zsh" "$manual" "$1" 2>&1; }
    check "zsh: a command" "$(by_zsh sco)" "tracehold score"
    check "zsh: an option" "$(by_zsh 'score --acc')" "tracehold score --accessory"
    check "zsh: the words of an option" "$(by_zsh 'score --format nd')" "tracehold score --format ndjson"
    check "zsh: a value behind a sign" "$(by_zsh 'score --format=nd')" "tracehold score --format=ndjson"
    check "zsh: a value in the word of its option" "$(by_zsh 'score -fnd')" "tracehold score -fndjson"
    check "zsh: a word of a course" "$(by_zsh 'explain hold_of_ref')" "tracehold explain hold_of_reference_pct"
    check "zsh: a command of a command" "$(by_zsh 'plan th')" "tracehold plan threshold"
    check "zsh: an option of that" "$(by_zsh 'plan threshold --perc')" "tracehold plan threshold --percent"
    check "zsh: the command of another" "$(by_zsh 'key n')" "tracehold key new"
fi
[ $failures -eq 0 ] || exit 1
exit $skipped
