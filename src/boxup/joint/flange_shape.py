"""What the shape of a flange makes of a moment: K, T, U, Y, Z, hub factors, e, d and L. ASME VIII-1 Appendix 2, Figure 2-7.1."""

from __future__ import annotations

from boxup.core.working import Step, Working
from boxup.joint.hub_factors import hub_factor_lines, straight_hub_lines

TYPES = ("integral", "loose", "lap", "ring")
_FIGURE = "Figure 2-7.1"


def has_hub(w: Working) -> bool:
    """Whether g_0, g_1 and h are given."""
    return all(s in w.steps for s in ("g_0", "g_1", "h"))


def ring_factors(w: Working) -> None:
    """K, T, U, Y and Z from A and B."""
    w.step("K = A/B", "-", "ratio of the diameters", "2-3")
    w.step("T = (K**2*(1 + 8.55246*log10(K)) - 1)/((1.04720 + 1.9448*K**2)*(K - 1))", "-", "factor T", _FIGURE)
    w.step("U = (K**2*(1 + 8.55246*log10(K)) - 1)/(1.36136*(K**2 - 1)*(K - 1))", "-", "factor U", _FIGURE)
    w.step("Y = (0.66845 + 5.71690*K**2*log10(K)/(K**2 - 1))/(K - 1)", "-", "factor Y", _FIGURE)
    w.step("Z = (K**2 + 1)/(K**2 - 1)", "-", "factor Z", _FIGURE)


def hub_lines(w: Working, *, integral: bool) -> None:
    """h_0, F, V, f, e, d and L of a flange with a hub, or of an integral one on a plain shell."""
    w.step("h_0 = sqrt(B*g_0)", "mm", "hub length by which the others are measured", "2-3")
    if integral and not tapers(w):
        straight_hub_lines(w)
    else:  # a straight hub of a loose flange ends where it ends: it is no shell without end
        hub_factor_lines(w, integral=integral)
    w.step("e = F/h_0", "1/mm", "factor e", "2-3")
    w.step("d = U/V*h_0*g_0**2", "mm3", "factor d", "2-3")
    w.step("L = (t*e + 1)/T + t**3/d", "-", "factor L", "2-3")


def tapers(w: Working) -> bool:
    """A hub that is thicker at the flange than at the shell."""
    return has_hub(w) and w["g_1"] > w["g_0"] * (1 + 1e-9)


def arms(w: Working, type_: str) -> None:
    """h_G, h_D and h_T: where each load pulls, from the bolt circle. Appendix 2, Table 2-6."""
    w.step("h_G = (C - G)/2", "mm", "arm of the gasket load", "Table 2-6")
    if type_ == "integral":
        w.step("R = (C - B)/2 - g_1", "mm", "from the bolt circle to the back of the hub", "2-3")
        w.step("h_D = R + 0.5*g_1", "mm", "arm of the end force on the bore", "Table 2-6")
        w.step("h_T = 0.5*(R + g_1 + h_G)", "mm", "arm of the end force between bore and gasket", "Table 2-6")
        return
    w.step("h_D = (C - B)/2", "mm", "arm of the end force on the bore", "Table 2-6")
    line = "h_T = (C - G)/2" if type_ == "lap" else "h_T = (h_D + h_G)/2"
    w.step(line, "mm", "arm of the end force between bore and gasket", "Table 2-6")


def spacing(w: Working) -> Step:
    """C_s: how much the moment is raised where the studs stand wide apart. Appendix 2, 2-6."""
    w.step("s_b = pi*C/n", "mm", "from stud to stud round the bolt circle", "2-6")
    line = "C_s = sqrt(s_b/(2*D + t)) if s_b > 2*D + t else 1"
    return w.step(line, "-", "moment raised for studs wide apart", "2-6, bolt spacing")


def stresses(w: Working, moment: str, mark: str, *, hub: bool) -> None:
    """S_H, S_R and S_T under a moment of that symbol. Appendix 2, 2-7."""
    if hub:
        w.step(f"S_H{mark} = f*{moment}/(L*g_1**2*B)", "MPa", f"hub stress along the axis{_said(mark)}", "2-7(a)(1)")
        w.step(f"S_R{mark} = (1.33*t*e + 1)*{moment}/(L*t**2*B)", "MPa", f"radial stress in the ring{_said(mark)}", "2-7(a)(2)")
        w.step(f"S_T{mark} = Y*{moment}/(t**2*B) - Z*S_R{mark}", "MPa", f"tangential stress in the ring{_said(mark)}", "2-7(a)(3)")
        return
    cite = w.cite("2-7(b)")
    w.constant(f"S_H{mark}", f"hub stress{_said(mark)}: no hub", 0.0, "MPa", cite)
    w.constant(f"S_R{mark}", f"radial stress{_said(mark)}: none in a plain ring", 0.0, "MPa", cite)
    w.step(f"S_T{mark} = Y*{moment}/(t**2*B)", "MPa", f"tangential stress in the ring{_said(mark)}", "2-7(b)")


def rigidity(w: Working, moment: str, modulus: str, mark: str, type_: str, *, hub: bool) -> Step:
    """J, the rigidity index: 1 is the most the code takes. Appendix 2, 2-14."""
    label = f"rigidity index{_said(mark)}"
    if not hub:
        return w.step(f"J{mark} = 109.4*{moment}/({modulus}*t**3*K_L*log(K))", "-", label, "2-14, loose, no hub")
    k = "K_I" if type_ == "integral" else "K_L"
    return w.step(f"J{mark} = 52.14*V*{moment}/(L*{modulus}*g_0**2*{k}*h_0)", "-", label, f"2-14, {type_}")


def _said(mark: str) -> str:
    return {"_o": ", operating", "_a": ", seating"}.get(mark, "")
