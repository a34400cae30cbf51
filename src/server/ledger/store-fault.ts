/** The store cannot be used as it stands: said in words, for whoever runs the server to put right. */
export class StoreFault extends Error {
  override readonly name = 'StoreFault';
}
