"""Before the facing cut: can the face be saved, how deep, which shims; afterwards: what came out of it."""
