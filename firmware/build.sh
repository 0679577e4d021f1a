#!/bin/sh
# Builds the firmware images; the same bytes from any folder.
# Usage: build.sh [OUTPUT-FOLDER]   (default: firmware/image)
# Needs avr-gcc 5.4.0, binutils 2.26 and avr-libc 2.0.0 (Debian: gcc-avr binutils-avr avr-libc).
set -eu
here=$(cd "$(dirname "$0")" && pwd)
out=${1:-$here/image}
mkdir -p "$out"
out=$(cd "$out" && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
# Compiled by relative names from the source folder, so that no path can reach the image.
cd "$here/runtime"

# build CONTROLLER OPTIMISATION RAM-START RAM-BYTES STACK-BYTES
build() {
  flags="-mmcu=$1 -DF_CPU=16000000UL $2 -std=gnu99 -Wall -Wextra -Werror -ffunction-sections -fdata-sections -fno-ident -fno-common"
  objects=""
  for source in main.c table.c safe-map.c inputs.c light.c dimming.S; do
    object="$work/$1-${source%.*}.o"
    avr-gcc $flags -c "$source" -o "$object"
    objects="$objects $object"
  done
  name=lampwright-$1
  # Vitals stand at the start of RAM (8 bytes), everything else 16 bytes on.
  avr-gcc "-mmcu=$1" -Wl,--gc-sections -Wl,--build-id=none -Wl,--section-start=.vitals=$(printf '0x%x' $((0x800000 + $3))) \
    -Wl,-Tdata=$(printf '0x%x' $((0x800000 + $3 + 16))) $objects -o "$work/$name.elf"
  avr-objcopy -O ihex -j .text -j .data "$work/$name.elf" "$work/$name.hex"
  tr -d '\r' < "$work/$name.hex" > "$out/$name.hex"
  (cd "$out" && sha256sum "$name.hex" > "$name.sha256")
  if [ "${KEEP_ELF:-}" ]; then cp "$work/$name.elf" "$KEEP_ELF-$1.elf"; fi
  avr-size "$work/$name.elf" | tail -n 1 |
    awk -v chip="$1" -v most="$(($4 - $5))" '{
      print chip ": code " $1 + $2 " bytes, RAM " $3 + $2 " bytes"
      if ($2 + $3 > most) { print "more than " most " bytes of RAM" > "/dev/stderr"; exit 1 }
    }'
}

build atmega328p -O2 0x100 2048 800
build attiny84 -Os 0x60 512 96

# The images as modules, so that the core needs no file access.
module() {
  {
    echo "// Made by firmware/build.sh from firmware/image: the compiled runtime without a table. Do not edit."
    echo
    echo "export const $2Sha256 = \"$(cut -d ' ' -f 1 "$out/lampwright-$1.sha256")\""
    echo "export const $2Hex = \`\\"
    cat "$out/lampwright-$1.hex"
    echo '`'
  } > "$here/../src/4-behaviour/image-$1.ts"
}
if [ $# -eq 0 ]; then
  module atmega328p atmega328p
  module attiny84 attiny84
  # The sources too: every pack has them beside the lamp's own constants.
  {
    echo "// Made by firmware/build.sh from firmware/runtime: the program's sources. Do not edit."
    echo
    echo "export const runtimeSources: Readonly<Record<string, string>> = {"
    for source in dimming.S inputs.c layout.h light.c main.c runtime.h safe-map.c table.c; do
      echo "  \"$source\": \`\\"
      sed -e 's/\\/\\\\/g' -e 's/`/\\`/g' -e 's/\${/\\${/g' "$source"
      echo '`,'
    done
    echo "}"
  } > "$here/../src/4-behaviour/runtime-sources.ts"
fi
