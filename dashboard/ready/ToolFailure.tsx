export function ToolFailure({ failure }: { failure: string | null }) {
  return failure === null ? null : (
    <p className="ready__failure" role="alert">
      {failure}
    </p>
  );
}
