import { terms } from '../../domain/words/es-terms.ts';
import type { PushWords } from './push-words.ts';

export const push: PushWords = {
  title: (priority, title) => (priority === null ? title : `${terms.priorities[priority]}: ${title}`),
  test: (title) => `Prueba: ${title}`,
  unreadable: 'Se avisó de algo',
  unreadableMore: 'Abra Potside y mire.',
  acknowledge: 'Yo me encargo',
  taken: (title) => `Usted se encarga: ${title}`,
  notTaken: 'Sin reconocer',
  signIn: 'No ha entrado en este aparato. Toque para abrir la alarma.',
  noAnswer: 'El servidor no responde. Toque para abrir la alarma.',
  refused: (why) => (why === '' ? 'El servidor no lo aceptó. Toque para abrir la alarma.' : `${why}. Toque para abrir la alarma.`),
};
