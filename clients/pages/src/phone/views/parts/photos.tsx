import { useSignal } from '@preact/signals';
import { useEffect, useId, useState } from 'preact/hooks';
import { tell } from '../../../kit/texts/tell.js';
import type { KeptPhoto } from '../../store/entries.js';
import { dropPhoto, keepPhoto, photosOf, StoreFullError } from '../../store/outbox.js';
import { message } from '../../words/messages.js';

function Picture({ photo, onRemove }: { photo: KeptPhoto; onRemove: () => void }) {
  const [address, setAddress] = useState('');
  useEffect(() => {
    const made = URL.createObjectURL(new Blob([photo.bytes], { type: photo.type }));
    setAddress(made);
    return () => URL.revokeObjectURL(made);
  }, [photo]);
  return (
    <li>
      {address !== '' && <img src={address} alt={photo.name} />}
      <button type="button" onClick={onRemove}>
        {tell(message('phone-remove-photo', { name: photo.name }))}
      </button>
    </li>
  );
}

/**
 * Photos from the camera of the phone.
 *
 * @param keptFor the report, or the draft, that they are kept for
 */
export function Photos({ keptFor }: { keptFor: string }) {
  const id = useId();
  const photos = useSignal<readonly KeptPhoto[]>([]);
  const isFull = useSignal(false);
  const load = async (): Promise<void> => void (photos.value = await photosOf(keptFor));
  useEffect(() => void load(), [keptFor]);
  const take = async (files: readonly File[]): Promise<void> => {
    try {
      for (const file of files) await keepPhoto(keptFor, file);
      isFull.value = false;
    } catch (fault) {
      if (!(fault instanceof StoreFullError)) throw fault;
      isFull.value = true;
    }
    await load();
  };
  return (
    <section>
      <h2>{tell(message('phone-photos'))}</h2>
      <label for={id}>{tell(message('phone-add-photo'))}</label>
      <input
        id={id}
        type="file"
        accept="image/*"
        capture="environment"
        multiple
        onChange={({ currentTarget }) => {
          void take([...(currentTarget.files ?? [])]);
          currentTarget.value = '';
        }}
      />
      {isFull.value && (
        <p class="fault" role="alert">
          {tell(message('phone-no-room-for-photo'))}
        </p>
      )}
      <ul class="photos">
        {photos.value.map((photo) => (
          <Picture key={photo.id} photo={photo} onRemove={() => void dropPhoto(photo.id).then(load)} />
        ))}
      </ul>
    </section>
  );
}
