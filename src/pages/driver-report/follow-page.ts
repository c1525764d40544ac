import { drivingTold } from '../../domain/defects/driving.js';
import { progressTold } from '../../domain/defects/label-report.js';
import type { FollowedReport } from '../../facts/defects/label-reports.service.js';
import { html } from '../../platform/presenting/html.js';
import { message } from './messages.js';
import { cautionsIn, framed, type PagePlace, sayIn } from './page-frame.js';
import type { ShownVehicle } from './report-page.js';

/** Why a photo was not taken. */
export const PHOTO_FAULTS = ['tooLarge', 'type', 'tooMany', 'broken'] as const;
export type PhotoFault = (typeof PHOTO_FAULTS)[number];

interface Followed {
  timeZone: string;
  photoFault: PhotoFault | null;
  reportPath: string;
}

/** What became of a report: whether somebody has taken it up, and whether the vehicle stays. */
export function followPage(
  vehicle: ShownVehicle,
  report: FollowedReport,
  { timeZone, photoFault, reportPath }: Followed,
): string {
  const { language, path, unitNumber } = vehicle;
  const say = sayIn(language);
  const { state, driving, what, photos } = report;
  const isOpen = state === 'reported' || state === 'triaged';
  const at = { moment: report.reportedAt.toISOString(), timeZone };
  const fault =
    photoFault === null
      ? null
      : html`<p class="fault" role="alert">
          ${say(message('driver-page-photo-fault', { why: photoFault }))}
        </p>`;
  return framed(
    vehicle,
    `${unitNumber}: ${say(message('driver-page-received'))}`,
    html`<h1>${unitNumber}</h1>
      <h2>${say(message('driver-page-received'))}</h2>
      <p class="small">${say(message('driver-page-received-at', { at }))}</p>
      ${fault}
      <p class="state" role="status">${say(progressTold(state))}</p>
      <p><strong>${say(drivingTold(driving))}</strong></p>
      ${isOpen ? cautionsIn(language) : null}
      <h2>${say(message('driver-page-reported'))}</h2>
      <p>${what}</p>
      ${photos === 0 ? null : html`<p>${say(message('driver-page-photos', { count: photos }))}</p>`}
      <p class="small">${say(message('driver-page-keep'))}</p>
      <a class="button" href="${path}?lang=${language}">${say(message('driver-page-look-again'))}</a>
      <a class="button second" href="${reportPath}?lang=${language}"
        >${say(message('driver-page-report-more'))}</a
      >`,
  );
}

/** There are so many unseen reports that one more would tell nothing new. */
export function waitingPage(vehicle: ShownVehicle, present: number): string {
  const { language, unitNumber } = vehicle;
  const say = sayIn(language);
  return framed(
    vehicle,
    say(message('driver-page-title', { unit: unitNumber })),
    html`<h1>${unitNumber}</h1>
      <p class="state" role="status">${say(message('driver-page-waiting', { present }))}</p>
      <p><strong>${say(drivingTold('undecided'))}</strong></p>
      ${cautionsIn(language)}`,
  );
}

/** The same for every code that does not work, whatever the reason. */
export function unknownPage(place: PagePlace): string {
  const say = sayIn(place.language);
  const title = say(message('driver-page-unknown-title'));
  return framed(
    place,
    title,
    html`<h1>${title}</h1>
      <p>${say(message('driver-page-unknown'))}</p>
      ${cautionsIn(place.language)}`,
  );
}

/** A report that did not arrive, and why. @param why in the reader's language */
export function faultPage(place: PagePlace, why: string): string {
  const say = sayIn(place.language);
  const title = say(message('driver-page-fault-title'));
  return framed(
    place,
    title,
    html`<h1>${title}</h1>
      <p class="fault" role="alert">${why}</p>
      <p>${say(message('driver-page-fault'))}</p>
      ${cautionsIn(place.language)}`,
  );
}
