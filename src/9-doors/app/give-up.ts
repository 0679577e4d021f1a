// What is said to a worker of the crew when nobody waits for its job any more.

export const giveUp = "give up"
