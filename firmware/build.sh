#!/bin/sh
# Builds the firmware image; the same bytes from any folder.
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
flags="-mmcu=atmega328p -DF_CPU=16000000UL -O2 -std=gnu99 -Wall -Wextra -Werror -ffunction-sections -fdata-sections -fno-ident -fno-common"
objects=""
for source in main.c table.c safe-map.c inputs.c light.c dimming.S; do
  object="$work/${source%.*}.o"
  avr-gcc $flags -c "$source" -o "$object"
  objects="$objects $object"
done
name=lampwright-atmega328p
# Vitals stand at the start of RAM (0x0100, 8 bytes), everything else from 0x0110 on.
avr-gcc -mmcu=atmega328p -Wl,--gc-sections -Wl,--build-id=none -Wl,--section-start=.vitals=0x800100 \
  -Wl,-Tdata=0x800110 $objects -o "$work/$name.elf"
avr-objcopy -O ihex -j .text -j .data "$work/$name.elf" "$work/$name.hex"
tr -d '\r' < "$work/$name.hex" > "$out/$name.hex"
(cd "$out" && sha256sum "$name.hex" > "$name.sha256")
if [ "${KEEP_ELF:-}" ]; then cp "$work/$name.elf" "$KEEP_ELF"; fi
# 2048 bytes of RAM, of which the stack shall have 800.
avr-size "$work/$name.elf" | awk 'NR == 2 && $2 + $3 > 1248 { print "variables take " $2 + $3 " bytes of RAM" > "/dev/stderr"; exit 1 }'
avr-size "$work/$name.elf" | tail -n 1 | awk '{ print "code " $1 + $2 " bytes, RAM " $3 " bytes" }'
# The image as a module, so that the core needs no file access.
if [ $# -eq 0 ]; then
  {
    echo '// Made by firmware/build.sh from firmware/image: the compiled runtime without a table. Do not edit.'
    echo
    echo "export const imageSha256 = \"$(cut -d ' ' -f 1 "$out/$name.sha256")\""
    echo 'export const imageHex = `\'
    cat "$out/$name.hex"
    echo '`'
  } > "$here/../src/4-behaviour/image.ts"
fi
