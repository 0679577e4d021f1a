// Space plays and pauses when it comes up again; held while the pointer crosses a stage it moves the stage instead.

export const space = { held: false, used: false }
