import { encode } from 'uqr';

/** A text as a QR code: black on white in every light, since readers of it need that. */
export function QrCode({ text, label }: { readonly text: string; readonly label: string }) {
  const { data, size } = encode(text, { ecc: 'M', border: 4 });
  const path = data.flatMap((row, y) => row.map((isDark, x) => (isDark ? `M${x} ${y}h1v1h-1z` : ''))).join('');
  return (
    <svg className="qr" viewBox={`0 0 ${size} ${size}`} role="img" aria-label={label} shapeRendering="crispEdges">
      <rect className="qr__paper" width={size} height={size} />
      <path className="qr__dark" d={path} />
    </svg>
  );
}
