// A content hash for manifests and for knowing whether a stage's inputs changed. Not for secrets.

/** Two independent 32-bit FNV-style sums over UTF-16 units, as 16 hex digits. */
export function contentHash(text: string): string {
  let a = 0x811c9dc5
  let b = 0x9e3779b9
  for (let i = 0; i < text.length; i++) {
    const c = text.charCodeAt(i)
    a = Math.imul(a ^ c, 0x01000193)
    b = Math.imul((b ^ c) + (b >>> 13), 0x85ebca6b)
  }
  return (a >>> 0).toString(16).padStart(8, "0") + (b >>> 0).toString(16).padStart(8, "0")
}
