# Completion of the command `damper` for bash.

_damper() {
    local current=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD - 1]}
    local verb=${COMP_WORDS[1]} words=''
    if [[ $COMP_CWORD -eq 1 ]]; then
        mapfile -t COMPREPLY < <(compgen -W 'run show loop fit modes response orbit recording cover heat compare tune vary scatter gather check diagnose match report export bench --help --version' \
            -- "$current")
        return
    fi
    case $before in
        --solver) words='auto general exact' ;;
        --start) words='steady periodic' ;;
        --friction)
            words='slips sticks'
            [[ $verb == response ]] && words='sticks slips equivalent'
            ;;
        --gear)
            [[ $verb == modes ]] && words='all neutral'
            [[ $verb == response ]] && words='neutral'
            [[ -z $words ]] && return
            ;;
        --curve)
            words='neutral pull overrun'
            [[ $verb == cover ]] && words='wear spring release temperature states cases measured'
            [[ $verb == heat ]] && words='steps starts history'
            ;;
        --manoeuvre) words='running torque-change take-up' ;;
        --of) words='flywheel input' ;;
        --separator) words='comma semicolon tab' ;;
        --decimal) words='point comma' ;;
        --loose-gears) words='held free' ;;
        --quantity) words='speed acceleration torque angle' ;;
        --format)
            words='text json'
            [[ $verb != run && $verb != show && $verb != fit && $verb != check && $verb != recording && $verb != diagnose && $verb != match ]] && words='text json csv'
            ;;
        --design) words='grid sobol' ;;
        --method) words='subplex nelder-mead cobyla bobyqa' ;;
        --models | --baseline)
            mapfile -t COMPREPLY < <(compgen -d -- "$current")
            return
            ;;
        -o | --out)
            if [[ $verb == report || $verb == gather || $verb == bench || $verb == export ]]; then
                mapfile -t COMPREPLY < <(compgen -f -- "$current")
            else
                mapfile -t COMPREPLY < <(compgen -d -- "$current")
            fi
            return
            ;;
        --disc)
            words=$(${COMP_WORDS[0]} show 2>/dev/null |
                awk '/^[A-Z]/ { inside = /^Discs/ } /^  / && inside { print $1 }')
            ;;
        --junit)
            mapfile -t COMPREPLY < <(compgen -f -- "$current")
            return
            ;;
        --set | --threads | --change | --condition | --tolerance | --certain | --longest | --speed | --up-to | --torque | --stage | --from | \
            --to | --band | --swing | --load | --check | --stages | --name | --title | --angle-unit | \
            --torque-unit | --zero-error | --warm | --hot | --grade | --engine-torque | --starts | \
            --interval | --free | --leave-out | --front | --drive-twist | --coast-twist | --stop-torque | \
            --coast-stop-torque | --spring-work | --evaluations | --surroundings | --limit | --cool | --over | --spread | --count | --measure | \
            --seed | --threads | --shard | --cylinders | --teeth | --missing | --input-teeth | \
            --input-missing | --band-from | --band-to | --channel | --vehicles | --questions | --signal) return ;;
        --vehicle)
            words=$(${COMP_WORDS[0]} show 2>/dev/null |
                awk '/^[A-Z]/ { inside = /^Vehicles/ } /^  / && inside { print $1 }')
            ;;
        --cause)
            words=$(${COMP_WORDS[0]} show 2>/dev/null |
                awk '/^[A-Z]/ { inside = /^Causes/ } /^  / && inside { print $1 }')
            ;;
        --clamp | --release | --run-down)
            mapfile -t COMPREPLY < <(compgen -f -X '!*.csv' -- "$current"; compgen -d -S / -- "$current")
            return
            ;;
    esac
    if [[ -z $words && $current == -* ]]; then
        case $verb in
            run)
                words='--help --out --cause --set --models --solver --tolerance --start --certain --longest
                    --format --quiet --no-report'
                ;;
            show) words='--help --cause --set --models --format' ;;
            loop) words='--help --out --cause --set --models --format --quiet' ;;
            modes)
                words='--help --out --gear --stage --torque --speed --up-to --friction --cause --set --models
                    --format --quiet'
                ;;
            response)
                words='--help --gear --speed --torque --stage --from --to --quantity --band --friction
                    --swing --out --cause --set --models --format --quiet --no-report'
                ;;
            orbit)
                words='--help --out --curve --gear --load --from --to --vary --speed --loose-gears --check --no-stability
                    --cause --set --models --format --quiet'
                ;;
            fit)
                words='--help --out --name --title --nominal --tolerance --stages --angle-unit
                    --torque-unit --separator --decimal --zero-error --cause --set --models --format
                    --quiet'
                ;;
            recording)
                words='--help --cylinders --manoeuvre --speed --teeth --missing --input-teeth
                    --input-missing --run-down --of --band-from --band-to --channel --separator
                    --decimal --out --name --models --format --quiet'
                ;;
            cover)
                words='--help --torque --warm --hot --clamp --release --curve --out --cause --set
                    --models --format --quiet'
                ;;
            heat)
                words='--help --gear --grade --speed --torque --engine-torque --starts --interval
                    --surroundings --limit --cool --curve --out --cause --set --models --format
                    --quiet'
                ;;
            compare)
                words='--help --disc --change --condition --out --cause --set --models --threads --format
                    --quiet'
                ;;
            tune)
                words='--help --free --condition --leave-out --front --drive-twist --coast-twist
                    --stop-torque --coast-stop-torque --spring-work --evaluations --seed --method
                    --out --threads --cause --set --models --format --quiet'
                ;;
            vary)
                words='--help --over --design --screen --indices --count --measure --seed --out --threads
                    --shard --resume --fresh --cause --set --models --format --quiet'
                ;;
            scatter)
                words='--help --spread --count --measure --seed --out --threads --shard --resume --fresh
                    --cause --set --models --format --quiet'
                ;;
            gather) words='--help --out --measure --format --quiet' ;;
            check)
                words='--help --baseline --update-baseline --changed-only --junit --out --cause --set
                    --models --solver --tolerance --threads --format --quiet'
                ;;
            diagnose)
                words='--help --ask --questions --vehicle --out --vehicles --seed --threads --no-discs
                    --models --format --brief --quiet'
                ;;
            match)
                words='--help --free --measured --recording --error --out --threads --cause --set
                    --models --format --quiet'
                ;;
            report) words='--help --out --quiet' ;;
            export) words='--help --signal --list --whole --out --quiet' ;;
            bench) words='--help --out --models --quiet' ;;
        esac
    fi
    if [[ -n $words ]]; then
        mapfile -t COMPREPLY < <(compgen -W "$words" -- "$current")
        return
    fi
    local ending=toml built_in=''
    [[ $verb == show ]] && built_in='models'
    [[ $verb == report || $verb == export ]] && ending=h5
    [[ $verb == fit ]] && ending=csv
    [[ $verb == recording ]] && ending='@(csv|wav)'
    [[ $verb == gather ]] && ending=shard
    # The names that stand for built-in descriptions, as the command lists them.
    if [[ $verb == run || $verb == show || $verb == loop || $verb == modes || $verb == response ||
        $verb == orbit || $verb == cover || $verb == heat || $verb == vary || $verb == scatter ||
        $verb == check || $verb == compare || $verb == tune || $verb == diagnose ]]; then
        local shelves='Scenarios|Vehicles|Discs'
        [[ $verb == run || $verb == orbit || $verb == vary || $verb == scatter || $verb == check ||
            $verb == compare ]] &&
            shelves='Scenarios'
        [[ $verb == vary || $verb == scatter || $verb == compare || $verb == tune ]] &&
            shelves='Scenarios|Studies'
        [[ $verb == diagnose ]] && shelves='Complaints'
        [[ $verb == show || $verb == modes || $verb == response || $verb == cover || $verb == heat ]] &&
            shelves='Scenarios|Vehicles'
        built_in+=" $(${COMP_WORDS[0]} show 2>/dev/null |
            awk -v shelves="^($shelves)" '/^[A-Z]/ { inside = $0 ~ shelves }
                                          /^  / && inside { print $1 }')"
    fi
    mapfile -t COMPREPLY < <(compgen -W "$built_in" -- "$current"
        compgen -f -X "!*.$ending" -- "$current"; compgen -d -S / -- "$current")
    compopt -o nospace -o filenames 2>/dev/null
}
complete -F _damper damper
