/** What becomes of a file that was picked as a photograph. */
import type { RecordOf } from '../../domain/record/kinds.ts';

export type Picture = Pick<RecordOf<'pictured'>, 'photo' | 'bytes' | 'type'>;

export type KeptPicture =
  | ({ readonly is: 'kept' } & Picture)
  | { readonly is: 'not-a-picture' | 'too-large' | 'unreadable' };

export type KeepPhoto = (file: Blob) => Promise<KeptPicture>;
