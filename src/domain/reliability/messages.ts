import { messages } from '../message.js';

export const message = messages({
  'life-not-above-zero': { age: 'number' },
  'life-watched-too-late': { entry: 'number', age: 'number' },
  'life-count-not-above-zero': { count: 'number' },
});
