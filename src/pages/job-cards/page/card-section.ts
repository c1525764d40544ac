import { Html, html } from '../../../platform/presenting/html.js';
import type { Block, Row } from './card-row.js';

/** A block under its heading. @param tick what a box is for, read out by screen readers */
export function section({ title, rows }: Pick<Block, 'title' | 'rows'>, tick: string): Html {
  return html`<section>
    <h2>${title}</h2>
    <ul>
      ${rows.map((row) => listItem(row, tick))}
    </ul>
  </section>`;
}

function listItem({ box, text, value, blanks }: Row, tick: string): Html {
  const toTick = box ? html`<input type="checkbox" aria-label="${tick}" />` : null;
  const atEnd = value === undefined ? null : html` <b>${value}</b>`;
  const toWrite = blanks === undefined ? null : blanks.map(blank);
  return html`<li${new Html(box ? ' class="tick"' : '')}>${toTick}${text}${atEnd}${toWrite}</li>`;
}

function blank(name: string): Html {
  return html` <span class="blank"><small>${name}</small><i></i></span>`;
}
