/** A database of one store without an index, beside the ledger's and of the same origin: the plainest strict write. */

let opened: Promise<IDBDatabase> | null = null;

export function bareStore(): Promise<IDBDatabase> {
  opened ??= new Promise((resolve, reject) => {
    const request = indexedDB.open('bare', 1);
    request.onupgradeneeded = () => request.result.createObjectStore('rows', { autoIncrement: true });
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
  return opened;
}

/** Resolves when the rows are durable. */
export function writeStrictly(database: IDBDatabase, ...rows: readonly unknown[]): Promise<void> {
  return new Promise((resolve, reject) => {
    const writing = database.transaction('rows', 'readwrite', { durability: 'strict' });
    for (const row of rows) writing.objectStore('rows').put(row);
    writing.oncomplete = () => resolve();
    writing.onabort = () => reject(writing.error);
  });
}
