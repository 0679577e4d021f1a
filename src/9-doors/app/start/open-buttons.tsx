// Opening files from disk: a description, drawings, a lamp in one file.

import { Button, FileTrigger } from "react-aria-components"
import { takeFiles } from "../drop-files.ts"

export const openTypes = [".yaml", ".yml", ".svg", ".ies", ".zip"]

export function OpenFiles() {
  return (
    <FileTrigger
      allowsMultiple
      acceptedFileTypes={openTypes}
      onSelect={(list) => void takeFiles([...(list ?? [])])}
    >
      <Button className="quiet">Open from disk</Button>
    </FileTrigger>
  )
}
