import type { FleetHandle } from './service.js';

/** What a phone sends by the page of a label. */
export interface SentForm {
  id: string;
  trouble?: string[];
  added?: string;
  words?: string;
  name?: string;
  photo?: { bytes: Buffer; name?: string; type?: string };
}

/** An answer as a browser without scripts sees it. */
export interface Page {
  status: number;
  text: string;
  headers: Headers;
}

/** Lets the fleet's labels work, and makes the label of a vehicle. @returns its path */
export async function labelOf(
  fleet: FleetHandle,
  vehicleId: string,
  driverLabels = 'defects',
): Promise<string> {
  const allowed = await fleet.manager.patch('/v1/fleet', { driverLabels });
  const { status, body } = await fleet.manager.post(`/v1/vehicles/${vehicleId}/label`);
  if (allowed.status !== 200 || status > 201) throw new Error(JSON.stringify([allowed.body, body]));
  return new URL(body.address).pathname;
}

/** Opens an address as a browser does. */
export async function open(url: string, language = 'en'): Promise<Page> {
  const headers = { accept: 'text/html', 'accept-language': language };
  const response = await fetch(url, { headers, redirect: 'manual' });
  return { status: response.status, text: await response.text(), headers: response.headers };
}

/** The id that a form was shown with. */
export function idOf({ text }: Page): string {
  const id = /name="id" value="([0-9a-f-]{36})"/.exec(text)?.[1];
  if (id === undefined) throw new Error(`there is no form: ${text.slice(0, 2000)}`);
  return id;
}

/** Sends a form as a browser does, with an empty file when no photo was chosen. */
export async function sendForm(url: string, form: SentForm, language = 'en'): Promise<Page> {
  const data = new FormData();
  data.append('id', form.id);
  for (const trouble of form.trouble ?? []) data.append('trouble', trouble);
  if (form.added !== undefined) data.append('added', form.added);
  data.append('words', form.words ?? '');
  data.append('name', form.name ?? '');
  const { bytes = Buffer.alloc(0), name = '', type = 'application/octet-stream' } = form.photo ?? {};
  data.append('photo', new Blob([new Uint8Array(bytes)], { type }), name);
  const response = await fetch(url, {
    method: 'POST',
    body: data,
    headers: { accept: 'text/html', 'accept-language': language },
    redirect: 'manual',
  });
  return { status: response.status, text: await response.text(), headers: response.headers };
}
