import { messages } from '../message.js';

export const message = messages({
  'caution-hot-system': {},
  'caution-secured': {},
  'caution-cold-into-hot': {},
  'caution-poison': {},
  'caution-protection': {},
  'caution-stands': {},
  'caution-moving-parts': {},
  'caution-high-voltage': {},
  'caution-exhaust': {},
  'caution-timing-belt': {},
  'caution-cap-rating': {},
  'caution-stop-driving': {},
  'caution-hot-cap': {},
  'caution-orange-cables': {},
  'caution-drivers-manual': {},
  'caution-maker': {},
  'caution-intervals': {},
  'caution-estimate': {},
});
