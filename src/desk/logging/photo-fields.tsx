/** Photographs of the shoes: taken with the machine's camera, or picked from its files. */
import { useEffect, useState } from 'preact/hooks';
import { LedgerFailure } from '../../tablet/ledger/ledger.ts';
import { logging } from '../../words/logging.ts';
import type { KeepPhoto, Picture } from './keep-photo.ts';
import type { LoggingDraft } from './logging-draft.ts';

interface Props {
  readonly photos: LoggingDraft['photos'];
  readonly onPhotos: (change: (photos: LoggingDraft['photos']) => LoggingDraft['photos']) => void;
  readonly keepPhoto: KeepPhoto;
  readonly photoUrl: (photo: string) => Promise<string | null>;
}

export function PhotoFields({ photos, onPhotos, keepPhoto, photoUrl }: Props) {
  const [says, setSays] = useState<string | null>(null);
  const take = async (files: readonly File[]) => {
    setSays(logging.preparing);
    let refused: string | null = null;
    for (const file of files) {
      const kept = await keptOrTrouble(keepPhoto, file);
      if (kept.is === 'kept') {
        const { photo, bytes, type } = kept;
        onPhotos((held) => [...held.filter((one) => one.photo !== photo), { photo, bytes, type }]);
      } else refused = logging.notKeptPicture[kept.is];
    }
    setSays(refused);
  };
  return (
    <section class="log-part" aria-labelledby="log-photos">
      <h2 id="log-photos">{logging.photos}</h2>
      <p class="log-hint">{logging.photosHint}</p>
      <div class="choice-row">
        <FileButton id="log-take" label={logging.take} camera onFiles={take} />
        <FileButton id="log-pick" label={logging.pick} camera={false} onFiles={take} />
      </div>
      <p class="field-says" role="status">
        {says}
      </p>
      {photos.length > 0 && (
        <ol class="log-photos">
          {photos.map((held, index) => (
            <li key={held.photo}>
              <Thumbnail held={held} name={logging.photo(index + 1)} photoUrl={photoUrl} />
              <button
                type="button"
                class="log-quiet"
                aria-label={logging.removePhoto(index + 1)}
                onClick={() => onPhotos((all) => all.filter(({ photo }) => photo !== held.photo))}
              >
                ×
              </button>
            </li>
          ))}
        </ol>
      )}
    </section>
  );
}

async function keptOrTrouble(keepPhoto: KeepPhoto, file: File) {
  try {
    return await keepPhoto(file);
  } catch (cause) {
    if (cause instanceof LedgerFailure) return { is: 'not-kept' } as const;
    throw cause;
  }
}

interface FileProps {
  readonly id: string;
  readonly label: string;
  readonly camera: boolean;
  readonly onFiles: (files: readonly File[]) => Promise<void>;
}

function FileButton({ id, label, camera, onFiles }: FileProps) {
  return (
    <label class="log-file" for={id}>
      <input
        id={id}
        type="file"
        accept="image/*"
        multiple={!camera}
        {...(camera ? { capture: 'environment' } : {})}
        onChange={(event) => {
          const input = event.currentTarget;
          const files = [...(input.files ?? [])];
          // So that the same file can be picked again.
          input.value = '';
          void onFiles(files);
        }}
      />
      <span class="log-file-name">{label}</span>
    </label>
  );
}

interface ThumbnailProps {
  readonly held: Picture;
  readonly name: string;
  readonly photoUrl: Props['photoUrl'];
}

function Thumbnail({ held: { photo }, name, photoUrl }: ThumbnailProps) {
  const [address, setAddress] = useState<string | null>(null);
  useEffect(() => {
    let current = true;
    void photoUrl(photo).then((found) => current && setAddress(found));
    return () => {
      current = false;
    };
  }, [photo, photoUrl]);
  return address === null ? <span class="log-no-photo">{name}</span> : <img src={address} alt={name} />;
}
