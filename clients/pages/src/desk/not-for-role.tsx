import { Heading } from '../kit/parts/shell.js';
import { whoIs } from '../kit/service/me.js';
import { tell } from '../kit/texts/tell.js';
import { message } from './messages.js';
import { roleInWords } from './people/roles.js';

/** Says who may open a view, in place of the view. */
export function NotForRole({ name }: { name: string }) {
  const role = whoIs.value === null ? '' : roleInWords(whoIs.value.role);
  return (
    <>
      <Heading>{name}</Heading>
      <p>{tell(message('desk-managers-only'))}</p>
      <p>{tell(message('desk-signed-in-as', { role }))}</p>
    </>
  );
}

/** Says that whoever is signed in may use no view of the desk. */
export function NoView() {
  const role = whoIs.value === null ? '' : roleInWords(whoIs.value.role);
  return (
    <>
      <Heading>{tell(message('desk-no-view'))}</Heading>
      <p>{tell(message('desk-no-view-why'))}</p>
      <p>{tell(message('desk-signed-in-as', { role }))}</p>
      <p>
        <a href="/phone">{tell(message('desk-to-phone'))}</a>
      </p>
    </>
  );
}
