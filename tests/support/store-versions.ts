/** What runs in a page of another version of the app, as far as the tablet's store goes: each is sent there as it stands. */

/**
 * Runs in the page: makes the tablet's store one of version 1, with all its rows, and holds it open as a window does
 * that has hung or has never learnt to give way.
 */
export async function setBackAndHold(): Promise<void> {
  const opened = (version?: number, upgrade?: (database: IDBDatabase) => void) =>
    new Promise<IDBDatabase>((resolve, reject) => {
      const opening = indexedDB.open('waxend', version);
      opening.onupgradeneeded = () => upgrade?.(opening.result);
      opening.onsuccess = () => resolve(opening.result);
      opening.onerror = () => reject(opening.error);
    });
  const answered = <Result>(request: IDBRequest<Result>) =>
    new Promise<Result>((resolve, reject) => {
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error);
    });
  const stores = ['records', 'outbox', 'settings'] as const;
  const now = await opened();
  const reading = now.transaction(stores);
  const rows = await Promise.all(stores.map((name) => answered(reading.objectStore(name).getAll())));
  const keys = await Promise.all(stores.map((name) => answered(reading.objectStore(name).getAllKeys())));
  now.close();
  await answered(indexedDB.deleteDatabase('waxend'));

  const old = await opened(1, (database) => {
    const records = database.createObjectStore('records', { keyPath: 'id' });
    records.createIndex('pair', 'pair');
    records.createIndex('bench-seq', ['bench', 'seq']);
    records.createIndex('bench-at', ['bench', 'at']);
    const outbox = database.createObjectStore('outbox', { keyPath: ['bench', 'seq'] });
    outbox.createIndex('state-seq', ['state', 'bench', 'seq']);
    database.createObjectStore('settings');
  });
  const writing = old.transaction(stores, 'readwrite');
  for (const [place, name] of stores.entries()) {
    const store = writing.objectStore(name);
    for (const [index, row] of (rows[place] ?? []).entries()) {
      if (store.keyPath === null) store.put(row, keys[place]?.[index]);
      else store.put(row);
    }
  }
  await new Promise((resolve, reject) => {
    writing.oncomplete = resolve;
    writing.onabort = () => reject(writing.error);
  });
  // A connection that nothing refers to is closed some day.
  Object.assign(window, { held: old });
}

/** Runs in the page: what an app two versions on has made of the store, with a row that only it knows. */
export function makeNewer(): Promise<number> {
  return new Promise((resolve, reject) => {
    const looking = indexedDB.open('waxend');
    looking.onerror = () => reject(looking.error);
    looking.onsuccess = () => {
      const version = looking.result.version + 2;
      looking.result.close();
      const opening = indexedDB.open('waxend', version);
      opening.onerror = () => reject(opening.error);
      opening.onupgradeneeded = () => {
        const soles = opening.result.createObjectStore('soles', { keyPath: 'name' });
        soles.put({ name: 'oak bark', thickness: 5 });
        opening.transaction?.objectStore('records').createIndex('later', 'raw.wall.ms');
      };
      opening.onsuccess = () => {
        opening.result.close();
        resolve(version);
      };
    };
  });
}

/** Runs in the page. */
export function readNewer(): Promise<{ readonly version: number; readonly soles: unknown }> {
  return new Promise((resolve, reject) => {
    const opening = indexedDB.open('waxend');
    opening.onerror = () => reject(opening.error);
    opening.onsuccess = () => {
      const { version } = opening.result;
      const reading = opening.result.transaction('soles').objectStore('soles').getAll();
      reading.onerror = () => reject(reading.error);
      reading.onsuccess = () => resolve({ version, soles: reading.result });
      opening.result.close();
    };
  });
}
