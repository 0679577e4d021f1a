// Everything the workshop needs, as files in memory.

export interface PackFile {
  /** Forward slashes, relative to the pack's folder. */
  readonly path: string
  readonly text: string
}

export interface Pack {
  readonly files: readonly PackFile[]
}
