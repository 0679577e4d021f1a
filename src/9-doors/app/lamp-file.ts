// A lamp in one file: the description and the drawings it names, as a zip that anything can open.

import type { LampSource } from "./demo.ts"

export const lampFileName = (source: LampSource): string => `${source.file.replace(/\.ya?ml$/i, "")}.lamp.zip`

/** Drawings that the text does not name stay behind. Same lamp, same bytes. */
export async function lampFile({ file, text, drawings }: LampSource): Promise<Uint8Array> {
  const { strToU8, zipSync } = await import("fflate")
  const named = Object.entries(drawings).filter(([name]) => text.includes(name))
  const all: readonly (readonly [string, string])[] = [[file, text], ...named]
  return zipSync(Object.fromEntries(all.map(([name, words]) => [name, strToU8(words)])), {
    level: 6,
    mtime: new Date(1980, 0, 1),
  })
}

/** Unpacked size that is taken at most: a lamp is a few hundred kB. */
const largest = 16_000_000

/** The description nearest the top of the zip and the drawings beside it, as files. */
export async function unpacked(zip: File): Promise<readonly File[] | { readonly refused: string }> {
  const { unzipSync } = await import("fflate")
  try {
    let size = 0
    const found = unzipSync(new Uint8Array(await zip.arrayBuffer()), {
      filter: ({ name, originalSize }) => {
        if (!/\.(ya?ml|svg|ies)$/i.test(name)) return false
        size += originalSize
        if (size > largest) throw new Error(`it unpacks to more than ${largest / 1e6} MB`)
        return true
      },
    })
    const names = Object.keys(found).sort((a, b) => depth(a) - depth(b) || (a < b ? -1 : 1))
    const lamp = names.find((n) => /\.ya?ml$/i.test(n))
    if (lamp === undefined) return { refused: `${zip.name} holds no description` }
    const folder = lamp.slice(0, lamp.lastIndexOf("/") + 1)
    return [lamp, ...names.filter((n) => n !== lamp && n.startsWith(folder) && !/\.ya?ml$/i.test(n))].map(
      (n) => new File([found[n] as BlobPart], n.slice(folder.length)),
    )
  } catch (error) {
    return {
      refused: `${zip.name} cannot be unpacked: ${error instanceof Error ? error.message : String(error)}`,
    }
  }
}

const depth = (name: string) => name.split("/").length
