import { AMOUNTS_ADDED, troublesTaken, troubleTold } from '../../domain/defects/label-report.js';
import { Html, html } from '../../platform/presenting/html.js';
import { type FilledForm, MOST_NAME, MOST_WORDS, type Taking, unitAdded } from './form-fields.js';
import type { Language } from '../../platform/words/languages.js';
import { quantityInWords } from '../../platform/words/render.js';
import { message } from './messages.js';
import { cautionsIn, framed, type PagePlace, sayIn } from './page-frame.js';

/** A vehicle as far as a driver is shown it: the number painted on it, to be compared. */
export interface ShownVehicle extends PagePlace {
  unitNumber: string;
  taking: Taking;
}

/**
 * The page that a label leads to: what is wrong, and a button. Works without JavaScript.
 *
 * @param form with what was typed, and what is wrong with it
 * @param followPath leads to the report that was sent with this form before; null when there is none
 */
export function reportPage(vehicle: ShownVehicle, form: FilledForm, followPath: string | null): string {
  const { language, unitNumber } = vehicle;
  const say = sayIn(language);
  const fault = form.fault === null ? null : html`<p class="fault" role="alert">${say(form.fault)}</p>`;
  const follow =
    followPath === null
      ? null
      : html`<p><a class="button second" href="${followPath}">${say(message('driver-page-follow'))}</a></p>`;
  return framed(
    vehicle,
    say(message('driver-page-title', { unit: unitNumber })),
    html`<h1>${unitNumber}</h1>
      <p class="small">${say(message('driver-page-right-vehicle'))}</p>
      ${fault}${follow}${cautionsIn(language)} ${formOf(vehicle, form)}`,
  );
}

function formOf({ language, path, taking }: ShownVehicle, form: FilledForm): Html {
  const say = sayIn(language);
  return html`<form
    method="post"
    action="${path}?lang=${language}"
    enctype="multipart/form-data"
    accept-charset="utf-8"
  >
    <input type="hidden" name="id" value="${form.id}" />
    <fieldset>
      <legend>${say(message('driver-page-what'))}</legend>
      <p class="small">${say(message('driver-page-tap'))}</p>
      ${troublesTaken(taking.takes).map(
        (trouble) =>
          html`<label class="tile"
            ><input
              type="checkbox"
              name="trouble"
              value="${trouble}"
              ${checked(form.troubles.includes(trouble))}
            />
            <span>${say(troubleTold(trouble))}</span></label
          >`,
      )}
    </fieldset>
    ${taking.takes === 'defects-and-top-ups' ? amountOf(taking, form, language) : null}
    <label class="field"
      >${say(message('driver-page-words'))}
      <textarea name="words" rows="3" maxlength="${MOST_WORDS}">${form.words}</textarea>
    </label>
    <label class="field"
      >${say(message('driver-page-name'))}
      <input name="name" maxlength="${MOST_NAME}" autocomplete="name" value="${form.name ?? ''}" />
    </label>
    <label class="field"
      >${say(message('driver-page-photo'))}
      <input type="file" name="photo" accept="image/jpeg,image/png,image/webp" capture="environment" />
    </label>
    <button>${say(message('driver-page-send'))}</button>
    <p class="small">${say(message('driver-page-until-received'))}</p>
    <p class="small">${say(message('driver-page-no-alarm'))}</p>
  </form>`;
}

const checked = (isChecked: boolean): Html => new Html(isChecked ? ' checked' : '');

/** Asks how much was added. It counts only where that was tapped. */
function amountOf({ units }: Taking, { added }: FilledForm, language: Language): Html {
  const say = sayIn(language);
  return html`<label class="field"
    >${say(message('driver-page-added'))}
    <select name="added">
      <option value="">${say(message('driver-page-not-sure'))}</option>
      ${AMOUNTS_ADDED.map(
        (amount) =>
          html`<option value="${amount}" ${selected(added?.value === amount)}>
            ${quantityInWords({ value: amount, unit: unitAdded(units) }, language)}
          </option>`,
      )}
    </select>
  </label>`;
}

const selected = (isSelected: boolean): Html => new Html(isSelected ? ' selected' : '');
