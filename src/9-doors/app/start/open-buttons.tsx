// Opening from and saving to the builder's disk.

import { Button, FileTrigger } from "react-aria-components"
import { openFromDisk, save, saveAs, share } from "../disk.ts"
import { takeFiles } from "../drop-files.ts"
import { usePage } from "../store.ts"

export const openTypes = [".yaml", ".yml", ".svg", ".ies", ".zip"]

/** By the browser's own dialogue where it gives handles to write back to; else by a plain file field. */
export function OpenFiles() {
  if ("showOpenFilePicker" in globalThis)
    return (
      <Button className="quiet" onPress={() => void openFromDisk()}>
        Open from disk
      </Button>
    )
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

export function SaveButtons() {
  const changed = usePage((s) => s.saved !== undefined && s.saved !== s.draft)
  return (
    <>
      <Button className="quiet" onPress={() => void save()}>
        {changed ? "Save changes" : "Save"}
      </Button>
      <Button className="quiet" onPress={() => void saveAs()}>
        Save as
      </Button>
      <Button className="quiet" onPress={() => void share()}>
        Share as one file
      </Button>
    </>
  )
}
