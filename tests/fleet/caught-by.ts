/**
 * Which seed finds each broken build, and the promise that it finds broken. `npm run fleet -- --mutations` finds them
 * anew where plans are drawn otherwise than they were.
 */
export const CAUGHT_BY: Readonly<Record<string, { readonly seed: number; readonly promise: string }>> = {
  'the outbox is cleared when somebody badges off': { seed: 1, promise: 'shown as made is held' },
  'an act tried again is another act': { seed: 138, promise: 'no app breaks' },
  'a hand-over is noticed one act late': { seed: 1, promise: 'nobody’s record is booked to another' },
  'numbers are used again after a tablet was set back': { seed: 4, promise: 'no number is used again' },
  'what a restored server has forgotten is not offered again': { seed: 5, promise: 'shown as made is held' },
  'pairs are folded in the order in which records came': { seed: 1, promise: 'folds agree' },
  'the server answers before it has committed': { seed: 4, promise: 'a bad record is kept aside' },
  'a push that comes twice is held twice': { seed: 1, promise: 'what is held was made' },
  'a number that is held already counts as the record': { seed: 5, promise: 'shown as made is held' },
  'a position is read before an earlier one is committed': { seed: 4, promise: 'a cursor never skips' },
  'a restored server goes on in its old epoch': { seed: 5, promise: 'a cursor never skips' },
  'what a newer tablet adds to a record is stripped': { seed: 1, promise: 'a record is never changed' },
  'what only a newer tablet knows is dropped': { seed: 184, promise: 'shown as made is held' },
  'one bad record takes the good ones with it': { seed: 21, promise: 'shown as made is held' },
  'gaps and numbers used twice are not reported': {
    seed: 4,
    promise: 'gaps and doubled numbers are reported',
  },
  'the cursor is written before the records': { seed: 29, promise: 'a cursor never skips' },
  'a record is shown as made before it is on the disk': { seed: 3, promise: 'shown as made is held' },
  'record and outbox entry are not one transaction': { seed: 1, promise: 'shown as made is held' },
  'the outbox is emptied before the answer': { seed: 4, promise: 'a bad record is kept aside' },
  'a 200 confirms the batch, whoever it came from': { seed: 122, promise: 'shown as made is held' },
  'what the server refuses counts as confirmed': { seed: 4, promise: 'a bad record is kept aside' },
  'a tablet that is not allowed in forgets what waits': { seed: 5, promise: 'shown as made is held' },
  'a server that is away counts as one that refuses': { seed: 4, promise: 'shown as made is held' },
  'an id is new at every try to send': { seed: 1, promise: 'what is held was made' },
  'records are booked to whoever is on when they are sent': { seed: 1, promise: 'a record is never changed' },
  'after five failures in a row nobody asks again': { seed: 1, promise: 'nobody waits for ever' },
};
