import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { components } from '../../../../typescript/src/client.js';
import { Dialog } from '../../kit/parts/dialog.js';
import { Fault } from '../../kit/parts/fault.js';
import { service } from '../../kit/service/session.js';
import { tell } from '../../kit/texts/tell.js';
import { message as kitMessage } from '../../kit/messages.js';
import { message } from './messages.js';

type Link = components['schemas']['SignInLinkView'];

const MINUTE_MS = 60_000;

/** By the service's clock alone: this device's may be wrong. */
const lastsMs = ({ createdAt, expiresAt }: Link): number =>
  new Date(expiresAt).getTime() - new Date(createdAt).getTime();

const pictureOf = (svg: string): string => `data:image/svg+xml,${encodeURIComponent(svg)}`;

function Code({ link, name }: { link: Link; name: string }) {
  const { url, qrCode } = link;
  const isOver = useSignal(false);
  useEffect(() => {
    const timer = setTimeout(() => (isOver.value = true), lastsMs(link));
    return () => clearTimeout(timer);
  }, [link]);
  if (url === null || isOver.value) return <p role="status">{tell(message('desk-link-over'))}</p>;
  return (
    <>
      <p>{tell(message('desk-link-scan'))}</p>
      {qrCode !== null && <img class="code" src={pictureOf(qrCode)} alt={tell(message('desk-link-code'))} />}
      <p>{tell(message('desk-link-until', { minutes: lastsMs(link) / MINUTE_MS }))}</p>
      <p>{tell(message('desk-link-warning', { name }))}</p>
      {!url.startsWith('https:') && <p class="faint">{tell(message('desk-link-no-https'))}</p>}
      <label>
        <span>{tell(message('desk-link-address'))}</span>
        <input readOnly value={url} onFocus={({ currentTarget }) => currentTarget.select()} />
      </label>
    </>
  );
}

/** Shows a code that signs one device in for a person, once and for a few minutes. */
export function SignInLink({
  person,
  onClose,
}: {
  person: { id: string; name: string };
  onClose: () => void;
}) {
  const link = useSignal<Link | null>(null);
  const problem = useSignal<unknown>(null);
  const make = async (): Promise<void> => {
    problem.value = null;
    try {
      const path = { id: person.id };
      link.value = (await service().post('/v1/people/{id}/sign-in-links', { path })).data;
    } catch (refused) {
      problem.value = refused;
    }
  };
  useEffect(() => void make(), [person.id]);
  return (
    <Dialog
      title={tell(message('desk-link-for', { name: person.name }))}
      way={tell(kitMessage('page-close'))}
      onClose={onClose}
    >
      {problem.value !== null && <Fault problem={problem.value} again={() => void make()} />}
      {link.value !== null && <Code key={link.value.id} link={link.value} name={person.name} />}
      {link.value !== null && (
        <button type="button" onClick={() => void make()}>
          {tell(message('desk-link-again'))}
        </button>
      )}
    </Dialog>
  );
}
