/**
 * Whether the browser may throw away what this tablet holds. Browsers that grant lasting storage do so silently,
 * mostly to installed apps; some delete the storage of a page in a tab after a week without use.
 */

export interface StorageAnswer {
  /** `lasting`: kept until somebody deletes it. `may-be-cleared`: the browser may, when room is short. */
  readonly lasting: 'lasting' | 'may-be-cleared' | 'cannot-say';
  /** Installed, or in a tab of the browser. */
  readonly shown: 'installed' | 'in-a-tab';
  /** `tiny`: less than a bench needs, which is what a private window gets. */
  readonly room: 'enough' | 'low' | 'tiny' | 'cannot-say';
  readonly usedBytes: number | null;
  readonly freeBytes: number | null;
}

/** A bench's records of several years are far smaller; a private window of some browsers gets less. */
const QUOTA_TINY_BYTES = 120 * 2 ** 20;
const FREE_LOW_BYTES = 50 * 2 ** 20;

/** The parts of the platform that answer. */
export interface StoragePlatform {
  readonly storage: Partial<Pick<StorageManager, 'persist' | 'persisted' | 'estimate'>> | undefined;
  readonly matchMedia: (query: string) => { readonly matches: boolean };
}

export const thisStorage = (): StoragePlatform => ({
  storage: navigator.storage as StorageManager | undefined,
  matchMedia: (query) => window.matchMedia(query),
});

/** Asks for lasting storage and tells how things stand. To be called at enrolment and at each start. */
export async function askForLastingStorage(platform = thisStorage()): Promise<StorageAnswer> {
  const [granted, estimate] = await Promise.all([askLasting(platform), askRoom(platform)]);
  const quota = estimate?.quota;
  const used = estimate?.usage;
  const free = quota === undefined || used === undefined ? null : Math.max(quota - used, 0);
  return {
    lasting: granted === null ? 'cannot-say' : granted ? 'lasting' : 'may-be-cleared',
    shown: isInstalled(platform) ? 'installed' : 'in-a-tab',
    room: roomOf(quota ?? null, free),
    usedBytes: used ?? null,
    freeBytes: free,
  };
}

async function askLasting({ storage }: StoragePlatform): Promise<boolean | null> {
  try {
    if ((await storage?.persisted?.()) === true) return true;
    return (await storage?.persist?.()) ?? null;
  } catch {
    // A browser that throws here has given no answer.
    return null;
  }
}

async function askRoom({ storage }: StoragePlatform): Promise<StorageEstimate | null> {
  try {
    return (await storage?.estimate?.()) ?? null;
  } catch {
    return null;
  }
}

function roomOf(quota: number | null, free: number | null): StorageAnswer['room'] {
  if (quota === null || free === null) return 'cannot-say';
  if (quota < QUOTA_TINY_BYTES) return 'tiny';
  return free < FREE_LOW_BYTES ? 'low' : 'enough';
}

function isInstalled({ matchMedia }: StoragePlatform): boolean {
  return ['standalone', 'fullscreen', 'minimal-ui'].some(
    (mode) => matchMedia(`(display-mode: ${mode})`).matches,
  );
}
