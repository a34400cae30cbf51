/** The words of the bench's settings page. */
export const settingsWords = {
  title: 'Bench settings',
  stages: 'Stages done at this bench',
  stagesHelp: 'Tap the stages, then set them. Several may be done here.',
  newCode: 'To set this tablet up for another bench, scan that bench’s set-up code now.',
  tablet: 'This tablet',
  bench: 'bench',
  storage: 'records on this tablet',
  storageAnswers: {
    lasting: 'Kept for good: the browser has promised not to clear them',
    'may-be-cleared': 'The browser may clear them when space is short. Add Waxend to the home screen',
    'cannot-say': 'The browser does not say whether it keeps them',
  },
  outbox: 'waiting for the server',
  refused: 'not taken by the server',
  server: 'server',
  serverStates: {
    reached: 'Reached',
    unreachable: 'Not reached. Work goes on, records are kept here',
    'perhaps-certificate': 'No secure connection, perhaps its certificate has run out. Records are kept here',
    stopped: 'Another site’s server answers here. Nothing is sent to it',
    paused: 'The server does not accept this tablet. Records are kept here',
    'not-tried': 'Not tried yet',
  },
  clock: 'clock',
  clockUnknown: 'Never compared with the server’s',
  clockRight: 'Agrees with the server’s',
  clockWrong: (offset: string, way: 'behind' | 'ahead') =>
    `${offset} ${way}. Times are put right as they are recorded. Set the tablet’s clock`,
  decoder: 'reads codes with',
  words: 'Words of the trade',
  version: 'version',
};
