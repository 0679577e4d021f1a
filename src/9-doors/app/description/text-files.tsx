// Opening and saving the description, and the way back from what was opened.

import { Button, FileTrigger } from "react-aria-components"
import { compute } from "../engine.ts"
import { openFiles } from "../open-files.ts"
import { saveFile } from "../save-file.ts"
import { page, usePage } from "../store.ts"

export function TextFiles() {
  const words = usePage((s) => s.opened)
  const canGoBack = usePage((s) => s.previous !== undefined)
  const other = usePage((s) => !s.isDemo)
  const open = async (list: FileList | null) => {
    if (!list || list.length === 0) return
    const { draft, drawings, file } = page.getState()
    const result = await openFiles([...list], { file, text: draft, drawings })
    page.getState().replace(result.source, result.words, result.changed)
    if (result.changed) void compute()
  }
  const save = () => {
    const { file, draft } = page.getState()
    saveFile(file, draft, "application/yaml")
  }
  return (
    <div className="text-files">
      <FileTrigger
        allowsMultiple
        acceptedFileTypes={[".yaml", ".yml", ".svg"]}
        onSelect={(list) => void open(list)}
      >
        <Button className="quiet">Open files</Button>
      </FileTrigger>
      <Button className="quiet" onPress={save}>
        Save the text
      </Button>
      {canGoBack && (
        <Button
          className="inline"
          onPress={() => {
            page.getState().goBack()
            void compute()
          }}
        >
          Back to the text before
        </Button>
      )}
      {!canGoBack && other && (
        <Button className="inline" onPress={() => page.getState().backToDemo()}>
          Back to the demo lamp
        </Button>
      )}
      {words !== "" && (
        <p className="soft" role="status">
          {words}
        </p>
      )}
    </div>
  )
}
