import { Link as Way } from 'wouter-preact';
import { reportAddress, takeReadingAddress, reportJobAddress, visitsAddress } from '../addresses.js';
import { tell } from '../../kit/texts/tell.js';
import type { Link, Matter } from './matters.js';
import { message } from './messages.js';

/** Where an action is done on another page; null: a question is asked here. */
function elsewhere({ action, path }: Link, { id }: Matter, vehicleId: string | null) {
  switch (action) {
    case 'job-card':
    case 'pick-list':
      // The service draws it for paper.
      return { href: path, isOfDesk: false };
    case 'report-job':
      return { href: reportJobAddress(vehicleId ?? ''), isOfDesk: false };
    case 'measure':
      return { href: takeReadingAddress(vehicleId ?? ''), isOfDesk: false };
    case 'read-report':
      return { href: reportAddress(id), isOfDesk: true };
    case 'plan-visit':
    case 'read-visit':
      return { href: visitsAddress, isOfDesk: true };
    default:
      return null;
  }
}

/** One thing that can be done about a matter. */
export function Action({
  link,
  matter,
  vehicleId,
  what,
  onWanted,
}: {
  link: Link;
  matter: Matter;
  vehicleId: string | null;
  /** What it is done to: many actions of a page have the same name. */
  what: string;
  onWanted: (link: Link) => void;
}) {
  const action = tell(message(`desk-today-${link.action}`));
  const label = tell(message('desk-today-action-for', { action, what }));
  const place = elsewhere(link, matter, vehicleId);
  if (place === null)
    return (
      <button type="button" aria-label={label} onClick={() => onWanted(link)}>
        {action}
      </button>
    );
  return place.isOfDesk ? (
    <Way href={place.href} class="button" aria-label={label}>
      {action}
    </Way>
  ) : (
    <a href={place.href} class="button" aria-label={label}>
      {action}
    </a>
  );
}
