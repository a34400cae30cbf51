/** Keeps what has been entered until the pair is logged in, over reloads and a browser that was closed. */
import type { Slots } from '../desk-store.ts';
import { EMPTY_DRAFT, isEmpty, type LoggingDraft, loggingDraftSchema } from './logging-draft.ts';

const SLOT = 'waxend-desk-logging';

export interface DraftKeeping {
  /** Empty where nothing was kept, or nothing that can be read. */
  read(): LoggingDraft;
  /** False where it is not kept. */
  keep(draft: LoggingDraft): boolean;
  forget(): void;
}

/** @param slots shared by the windows of this browser: the window that wrote last is what comes back */
export function draftKeeping(slots: Slots): DraftKeeping {
  return {
    read: () => loggingDraftSchema.safeParse(slots.read(SLOT)).data ?? EMPTY_DRAFT,
    keep: (draft) => slots.write(SLOT, isEmpty(draft) && draft.issued === null ? null : draft),
    forget: () => void slots.write(SLOT, null),
  };
}
