import { createHash } from 'node:crypto';
import { Html } from '../../platform/presenting/html.js';

/** Made for a thumb on a phone, in the sun and in the dark. Everything tappable is 48 px or more. */
const STYLE = `
:root { color-scheme: light dark; --paper: #f6f2e6; --ink: #20243f; --faint: #54586f; --sheet: #fffdf6; --line: #6b6f86; --go: #1f4d3a; --on-go: #fff; --mind: #7a1f12; --mind-sheet: #fbe9e2; }
@media (prefers-color-scheme: dark) { :root { --paper: #1b1a1e; --ink: #efe9d9; --faint: #bdb7a8; --sheet: #26252b; --line: #8d899a; --go: #a9dcc1; --on-go: #10231a; --mind: #ffb8a6; --mind-sheet: #3a211c; } }
* { box-sizing: border-box; }
html { background: var(--paper); color: var(--ink); }
body { margin: 0 auto; max-width: 34rem; padding: 0.75rem 1rem 2rem; font: 1.0625rem/1.45 "Gill Sans Nova", Seravek, Ubuntu, Calibri, "DejaVu Sans", sans-serif; overflow-wrap: anywhere; }
nav { display: flex; justify-content: flex-end; gap: 0.5rem; }
nav a, nav span { min-height: 3rem; min-width: 3rem; padding: 0 0.5rem; display: inline-flex; align-items: center; justify-content: center; }
nav span { font-weight: bold; }
a { color: inherit; }
h1 { font-size: 2.6rem; line-height: 1.05; margin: 0; }
h2, legend { font-size: 1.25rem; line-height: 1.25; font-weight: bold; margin: 1.25rem 0 0.4rem; padding: 0; }
p { margin: 0.4rem 0; }
.small { color: var(--faint); font-size: 0.95rem; }
.mind { background: var(--mind-sheet); border-left: 0.4rem solid var(--mind); padding: 0.5rem 0.75rem; margin: 0.9rem 0; }
.mind h2 { margin: 0; font-size: 1.0625rem; }
.mind ul { margin: 0.25rem 0; padding-left: 1.1rem; }
.fault { border: 0.2rem solid var(--mind); padding: 0.6rem 0.75rem; font-weight: bold; }
.state { border: 0.2rem solid var(--ink); padding: 0.6rem 0.75rem; margin: 0.9rem 0; font-size: 1.2rem; font-weight: bold; }
fieldset { border: 0; margin: 0; padding: 0; min-width: 0; }
.tile { display: flex; align-items: center; gap: 0.75rem; min-height: 3.5rem; margin: 0.5rem 0; padding: 0.5rem 0.75rem; background: var(--sheet); border: 0.125rem solid var(--line); border-radius: 0.4rem; font-size: 1.15rem; cursor: pointer; }
.tile:has(:checked) { border-color: var(--go); outline: 0.125rem solid var(--go); font-weight: bold; }
.tile input { flex: none; width: 1.75rem; height: 1.75rem; margin: 0; accent-color: var(--go); }
.field { display: block; margin: 0.9rem 0 0; }
.field input, .field select, .field textarea { display: block; width: 100%; min-height: 3rem; margin-top: 0.25rem; padding: 0.6rem; font: inherit; color: inherit; background: var(--sheet); border: 0.125rem solid var(--line); border-radius: 0.4rem; }
.field textarea { min-height: 5.5rem; resize: vertical; }
button, .button { display: flex; align-items: center; justify-content: center; width: 100%; min-height: 3.75rem; margin: 1.1rem 0 0.5rem; padding: 0.5rem 1rem; font: inherit; font-size: 1.3rem; font-weight: bold; color: var(--on-go); background: var(--go); border: 0; border-radius: 0.4rem; text-decoration: none; cursor: pointer; }
.second { color: inherit; background: none; border: 0.125rem solid var(--line); font-size: 1.0625rem; min-height: 3rem; }
:focus-visible { outline: 0.2rem solid var(--ink); outline-offset: 0.15rem; }
.tile:has(:focus-visible) { outline: 0.2rem solid var(--ink); outline-offset: 0.15rem; }
`;

/** Keep in one piece: the policy contains a hash of everything inside the element. */
export const STYLE_ELEMENT = new Html(`<style>${STYLE}</style>`);

/**
 * The page may show its own style and send its own form, and nothing else. No address that it is
 * left for learns its code, and no cache keeps it.
 */
export const PAGE_HEADERS: Readonly<Record<string, string>> = {
  'content-type': 'text/html; charset=utf-8',
  'content-security-policy': [
    "default-src 'none'",
    `style-src 'sha256-${createHash('sha256').update(STYLE).digest('base64')}'`,
    'img-src data:',
    "base-uri 'none'",
    "form-action 'self'",
    "frame-ancestors 'none'",
  ].join('; '),
  'referrer-policy': 'no-referrer',
  'cache-control': 'no-store',
  'x-robots-tag': 'noindex, nofollow',
  vary: 'Accept-Language',
};
