package control_test
import ("testing";"fmt";"lapwing/scenarios";"lapwing/sim/control";"lapwing/dynamics")
func TestCat(t *testing.T){
 for _, n := range scenarios.Names(scenarios.KindScenario) {
  b, err := scenarios.Load(scenarios.Catalogue(), n); if err!=nil {fmt.Println(n,err);continue}
  p := control.Design(&b.Craft,&b.Place,&b.Law)
  g:=p.Gains
  fmt.Printf("%s %s rate %.1f yaw %.1f att %.2f vel %.2f pos %.2f climb %.2f TW3.7 %.2f tilt %.2f hover %.2f yawacc %.2f bodyrate %.1f yawfollow %.3f valid %v\n",n,b.CraftName,g.Rate.X,g.Rate.Z,g.Attitude,g.Velocity,g.Position,g.Climb,control.ThrustToWeight(&b.Craft,&p,3.7),p.Limits.Tilt,control.HoverStick(&p),p.Limits.YawAccel,p.Limits.BodyRate,p.YawFollow,p.Validate())
  v:=control.Losses(&b.Craft,&p,3.8)
  for i:=range b.Craft.RotorCount { fmt.Print(v[i].Outcome,fmt.Sprintf(" %.3f %.3f; ",v[i].Yaw,v[i].NoYaw)) }
  fmt.Println()
  _ = dynamics.DT
 }
}
