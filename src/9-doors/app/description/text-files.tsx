// Opening and saving the description.

import { Button, FileTrigger } from "react-aria-components"
import { openFiles } from "../open-files.ts"
import { saveFile } from "../save-file.ts"
import { page, usePage } from "../store.ts"

export function TextFiles() {
  const other = usePage((s) => !s.isDemo)
  const open = async (list: FileList | null) => {
    if (!list || list.length === 0) return
    const { draft, drawings, file } = page.getState()
    const result = await openFiles([...list], { file, text: draft, drawings })
    page.getState().replace(result.source, result.words, result.changed)
  }
  const save = () => {
    const { file, draft } = page.getState()
    saveFile(file, draft, "application/yaml")
  }
  return (
    <div className="text-files">
      <FileTrigger
        allowsMultiple
        acceptedFileTypes={[".yaml", ".yml", ".svg", ".ies"]}
        onSelect={(list) => void open(list)}
      >
        <Button className="quiet">Open files</Button>
      </FileTrigger>
      <Button className="quiet" onPress={save}>
        Save the text
      </Button>
      {other && (
        <Button className="inline" onPress={() => page.getState().backToDemo()}>
          Back to the demo lamp
        </Button>
      )}
    </div>
  )
}
