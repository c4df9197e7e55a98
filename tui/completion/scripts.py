"""The shells' scripts: a few lines each, which give the line up to the cursor and take the answers.

What may come next is known to the grammar and the book, never to a script. An answer is a line:
what to type, a tab, a word about it. A line without the first tells the script itself what to do.
"""

from __future__ import annotations

BASH = """# loombook: completion for bash
_loombook() {
    local line
    COMPREPLY=()
    while IFS= read -r line; do
        case "$line" in
            $'\\t'files) compopt -o bashdefault -o default; return ;;
            $'\\t'choose) COMPREPLY+=(" ") ;; # nothing in common: the word stays, and all are shown
            *) COMPREPLY+=("${line%%$'\\t'*}") ;;
        esac
    done < <(LOOMBOOK_BREAKS="$COMP_WORDBREAKS" \\
            loombook completion next-bash -- "${COMP_LINE:0:COMP_POINT}" 2>/dev/null)
    compopt -o nospace -o nosort 2>/dev/null
}
complete -F _loombook loombook
"""

ZSH = """#compdef loombook
# loombook: completion for zsh
_loombook() {
    local line whole="$PREFIX" end="$SUFFIX"
    local -a found shown
    # What stands after the cursor is none of the word; zsh counts it in, but with COMPLETE_IN_WORD.
    if [[ -z "$SUFFIX" ]]; then
        local -i after=$#PREFIX
        while (( after )) && [[ "$RBUFFER" != "${PREFIX[-after,-1]}"* ||
            "$LBUFFER" != *"${${PREFIX[1,-after-1]}##*[\\\"\']}" ]]; do (( after-- )); done
        # Before a closing quote it tells the cursor one sign too far to the left.
        (( after == 1 )) && [[ -n "$QISUFFIX" ]] && after=0
        (( after )) && SUFFIX="${PREFIX[-after,-1]}" PREFIX="${PREFIX[1,-after-1]}"
    fi
    while IFS= read -r line; do
        case "$line" in
            $'\\t'files)
                PREFIX="$whole" SUFFIX="$end"
                [[ "$PREFIX" == --*=* ]] && compset -P '*='
                _files; return ;;
            $'\\t'choose) compstate[insert]= ;;
            *) found+=("${line%%$'\\t'*}") shown+=("${line/$'\\t'/  -- }") ;;
        esac
    done < <(loombook completion next-zsh -- \\
        "${(j: :)words[1,CURRENT-1]} $QIPREFIX$IPREFIX$PREFIX" "$PREFIX" 2>/dev/null)
    # -U: an answer need not begin as the word does; it was found by the book. -Q: and is quoted.
    # -V: it stands in the book's own order.
    compadd -V loombook -U -Q -S '' -I "$SUFFIX" -l -d shown -- "${found[@]}"
}
if [ "$funcstack[1]" = "_loombook" ]; then _loombook; else compdef _loombook loombook; fi
"""

FISH = """# loombook: completion for fish
function __loombook_next
    # fish takes the cursor to the end of the word, and puts an answer in place of the whole word.
    set -l line (commandline -pc | string collect)
    set -l after (math (commandline -bc | string collect | string length) - (commandline -C))
    set -l answers (loombook completion next-fish -- $line $after 2>/dev/null)
    if test "$answers[1]" = \\t'files'
        set -l option (commandline -ct | string match -r '^(?:--[a-z-]+=)?')
        set -l begun (commandline -ct | string replace -r '^--[a-z-]+=' '')
        printf '%s\\n' $option(complete -C "'' $begun")
    else
        printf '%s\\n' $answers
    end
end
complete -c loombook -f -k -a '(__loombook_next)'
"""

SCRIPTS = {"bash": BASH, "zsh": ZSH, "fish": FISH}
