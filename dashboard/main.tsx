import { createRoot } from 'react-dom/client';
import { App } from './App.tsx';
import { startWorker } from './page/page-worker.ts';
import { createDesk } from './store/desk.ts';
import { openStorage } from './store/open-storage.ts';
import '@fontsource-variable/encode-sans/wght.css';
import './ui/theme.css';
import './ui/base.css';
import './ui/reading.css';
import './ui/page.css';
import './ui/stand-still.css';
import './ui/alarm.css';
import './ui/sound.css';
import './ui/alarm-group.css';
import './ui/alarms-screen.css';
import './ui/aside.css';
import './ui/figures.css';
import './ui/profile.css';
import './ui/shift.css';
import './ui/drill.css';
import './ui/rig-rows.css';
import './ui/print.css';
// Last: it only changes what stands above.
import './ui/page-sizes.css';

const root = document.getElementById('root');
if (!root) throw new Error('the page has no root element');
createRoot(root).render(<App desk={createDesk(openStorage(), navigator.languages)} />);
startWorker();
