import { shiftPath } from '../../api/shifts.ts';
import type { Shift } from '../../api/shift-shapes.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useStore } from '../../hooks/use-store.ts';
import { whereOfShift } from '../site-names.ts';

const FILES = ['report.pdf', 'record.zip', 'trace.csv', 'trace.parquet'] as const;

/** The shift as files, and how anyone can check the record without us. */
export function Downloads({ shift }: { shift: Shift }) {
  const { desk, words } = useSeat();
  const { sites } = useStore(desk.live);
  const { site } = whereOfShift(shift, sites);
  const isOwn = (site?.language ?? 'en') === words.language;
  const inOwn = `${shiftPath(shift.id, 'report.pdf')}?language=${words.language}`;
  const told = words.shifts.files;
  return (
    <section className="files" data-testid="files" aria-label={told.title}>
      <h3>{told.title}</h3>
      {shift.state === 'sealed' ? null : <p className="soft">{told.notSealed}</p>}
      <ul className="files__list">
        {FILES.map((file) => (
          <li key={file}>
            <a className="files__file" data-testid={`file-${file}`} href={file === 'report.pdf' && !isOwn && shift.state !== 'sealed' ? inOwn : shiftPath(shift.id, file)} download>
              <strong>{file}</strong> <span className="soft">{told.about[file]}</span>
            </a>
          </li>
        ))}
        {isOwn || shift.state !== 'sealed' ? null : (
          <li>
            <a className="files__file" data-testid="file-translated" href={inOwn} download>
              <strong>report.pdf</strong> <span className="soft">{told.translated}</span>
            </a>
          </li>
        )}
      </ul>
      <h4>{told.verifyTitle}</h4>
      <p>{told.verifyAbout}</p>
      <p>
        <code className="hex">
          potside verify {shift.id}.zip{shift.seal ? ` --key ${shift.seal.key}` : ''}
        </code>
      </p>
      <p className="soft">{told.verifyMore}</p>
    </section>
  );
}
