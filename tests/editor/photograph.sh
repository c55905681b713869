#!/bin/sh
# Photograph the dialogs of extensions, without a screen, to look at them:
#
#     tests/editor/photograph.sh FOLDER NAME...     such as  pictures allowance blend
#
# Each dialog gives three pictures: FOLDER/NAME-values.png, -help.png and -meanings.png.
# Needs Inkscape, xvfb-run, xdotool and ImageMagick's import.  PYTHON chooses the Python.
set -eu
ROOT=$(cd "$(dirname "$0")/../.." && pwd)
PYTHON=${PYTHON:-python3}
FOLDER=$1
shift
mkdir -p "$FOLDER"
INKSCAPE_PROFILE_DIR=$(mktemp -d)
export INKSCAPE_PROFILE_DIR
trap 'rm -rf "$INKSCAPE_PROFILE_DIR"' EXIT
mkdir -p "$INKSCAPE_PROFILE_DIR/extensions"
(cd "$ROOT" && "$PYTHON" -c "from sewkit.editor.install import install; install()")
SHEET=$INKSCAPE_PROFILE_DIR/sheet.svg
echo '<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 210 297"><path id="line" d="M 20,20 H 120 V 90 H 20 Z"/></svg>' >"$SHEET"

photograph() { # name of the operation, page, picture
    id=org.sewkit.sew_$(echo "$1" | tr - _)
    title=$(sed -n 's:.*<name>\(.*\)</name>.*:\1:p' "$ROOT/extensions/sew_$(echo "$1" | tr - _).inx")
    cat >"$INKSCAPE_PROFILE_DIR/preferences.xml" <<X
<?xml version="1.0"?><inkscape version="1"><group id="extensions" $id.tab="$2"/></inkscape>
X
    ACTION=$(echo "$id" | tr _ -) TITLE="^$title\$" PICTURE=$3 SHEET=$SHEET \
        timeout 90 xvfb-run -a -s "-screen 0 1400x1000x24" sh -c '
        timeout 60 inkscape -g --actions="select-by-id:line;$ACTION" "$SHEET" >/dev/null 2>&1 &
        editor=$!
        for _ in $(seq 60); do
            window=$(xdotool search --onlyvisible --name "$TITLE" 2>/dev/null | tail -1)
            [ -n "$window" ] && break
            sleep 0.5
        done
        [ -n "$window" ] || { echo "no dialog $TITLE" >&2; kill $editor; exit 1; }
        sleep 1
        import -window "$window" "$PICTURE"
        kill $editor
        wait $editor 2>/dev/null || true'
}

for name in "$@"; do
    for page in values help meanings; do
        photograph "$name" "$page" "$FOLDER/$name-$page.png"
    done
done
