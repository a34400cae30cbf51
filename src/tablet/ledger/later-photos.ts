/** The photographs of a ledger, whose store is read in when the first one is asked about: a bench scans without it. */
import type { Instant } from '../../domain/instant.ts';
import type { Photo, PhotoStore } from '../photos/photo-store.ts';
import type { Connection } from './connection.ts';

/** @param budgetBytes as `IdbPhotos` takes it */
export function laterPhotos(connection: Connection, budgetBytes?: number): PhotoStore {
  let opened: Promise<PhotoStore> | null = null;
  const store = () => {
    opened ??= import('./idb-photos.ts').then(({ IdbPhotos }) => new IdbPhotos(connection, budgetBytes));
    // A part that could not be fetched is fetched again.
    opened.catch(() => {
      opened = null;
    });
    return opened;
  };
  return {
    keep: async (photo: Photo, at: Instant) => (await store()).keep(photo, at),
    keepFetched: async (photo: Photo, at: Instant) => (await store()).keepFetched(photo, at),
    get: async (photo: string) => (await store()).get(photo),
    waiting: async (limit: number) => (await store()).waiting(limit),
    counts: async () => (await store()).counts(),
    markAtServer: async (photo: string, epoch: string) => (await store()).markAtServer(photo, epoch),
    markRefused: async (photo: string, reasons: readonly string[]) =>
      (await store()).markRefused(photo, reasons),
    waitAgain: async (epoch: string) => (await store()).waitAgain(epoch),
  };
}
