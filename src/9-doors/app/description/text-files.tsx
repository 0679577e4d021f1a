// Opening and saving the description.

import { Button, FileTrigger } from "react-aria-components"
import { takeFiles } from "../drop-files.ts"
import { openTypes, SaveButtons } from "../start/open-buttons.tsx"
import { page, usePage } from "../store.ts"

export function TextFiles() {
  const other = usePage((s) => !s.isDemo)
  return (
    <div className="text-files">
      <FileTrigger
        allowsMultiple
        acceptedFileTypes={openTypes}
        onSelect={(list) => void takeFiles([...(list ?? [])])}
      >
        <Button className="quiet">Open files</Button>
      </FileTrigger>
      <SaveButtons />
      {other && (
        <Button className="inline" onPress={() => page.getState().backToDemo()}>
          Back to the demo lamp
        </Button>
      )}
    </div>
  )
}
