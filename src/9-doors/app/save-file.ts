// Hands bytes to the browser as a download.

export function saveFile(name: string, content: string | Uint8Array, type: string): void {
  const url = URL.createObjectURL(new Blob([content as BlobPart], { type }))
  const link = document.createElement("a")
  link.href = url
  link.download = name
  link.click()
  // Long enough for a slow disk to have taken it.
  setTimeout(() => URL.revokeObjectURL(url), 10_000)
}
