import type { ComponentChildren } from 'preact';
import { useEffect, useId, useRef } from 'preact/hooks';
import { message } from '../messages.js';
import { tell } from '../texts/tell.js';

/**
 * A question in front of the view. The browser keeps the focus inside, and Escape closes it.
 *
 * @param way what the button says that closes it; "Cancel" unless given
 * @param onClose called once, however it is closed
 */
export function Dialog({
  title,
  way,
  onClose,
  children,
}: {
  title: string;
  way?: string;
  onClose: () => void;
  children: ComponentChildren;
}) {
  const dialog = useRef<HTMLDialogElement>(null);
  const id = useId();
  useEffect(() => dialog.current?.showModal(), []);
  return (
    <dialog ref={dialog} aria-labelledby={id} onClose={onClose}>
      <h2 id={id}>{title}</h2>
      {children}
      <button type="button" class="plain" onClick={() => dialog.current?.close()}>
        {way ?? tell(message('page-cancel'))}
      </button>
    </dialog>
  );
}
