// A call the user can put right: told in one line, never with a stack.
export class Refusal extends Error {
  override readonly name = "Refusal"
}

/** The words of a system error a person can act on. */
export function because(error: unknown): string {
  const code = (error as { code?: string }).code
  const words: Record<string, string> = {
    ENOENT: "there is no such file or folder",
    EISDIR: "that is a folder",
    ENOTDIR: "a part of that path is a file",
    EACCES: "permission was refused",
    EPERM: "permission was refused",
    ENOSPC: "the disk is full",
    EROFS: "the disk is read-only",
    EADDRINUSE: "that port is in use",
  }
  return (code && words[code]) ?? (error instanceof Error ? error.message : String(error))
}
